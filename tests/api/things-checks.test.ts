// What the page of a thing asks beside its facts: how it was answered for at the last wraps, its pictures, what is built
// on it.
import { createHash, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { makePhone, send } from './lines.ts';

const DAY = Date.UTC(2024, 4, 2, 5);
const HOUR = 3_600_000;
let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => DAY + 20 * HOUR });
});
afterAll(() => service.close());

const ask = (method: string, path: string, body?: unknown) => service.ask(method, path, { body });
async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await ask('POST', path, body);
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name: string, more = {}) => make('/api/items', { ...plainFacts, name, ...more });

async function makeStop(name: string): Promise<string> {
  const id = randomUUID();
  const place = { id: randomUUID(), name, isNew: true };
  const stop = { jobId: null, name, kind: 'location', zone: 'Europe/Lisbon', startsAt: DAY, unnamed: false };
  expect((await ask('PUT', `/api/stops/${id}`, { id, ...stop, place })).status).toBe(201);
  return id;
}

const SUMS = { expected: 1, aboard: 1, notFound: 0, away: 0, compartments: 0, notOpened: 0 };
const closedLine = (thingId: string, said: string, lineId: string | null) => ({
  ...{ thingId, placeId: null, name: 'Lamp', expected: 1, found: said === 'scanned' ? 1 : 0, said, lineId },
  ...{ lastPlaceId: null, spot: null },
});

test('a thing says how it was answered for at the last wraps, the latest first, and who said so', async () => {
  const [lamp, other] = [await makeItem('Lamp'), await makeItem('Other')];
  const store = await make('/api/places', {
    ...{ kind: 'store', name: 'Store', parentId: null, sort: 0, zone: null, address: null, note: null },
  });
  const personId = await make('/api/people', { name: 'Ida', role: 'crew' });
  const [first, second] = [await makeStop('Reed bed'), await makeStop('Sluice')];
  const phone = makePhone();
  const scan = { ...phone.move(DAY, lamp, store, { stopId: first, round: 1, why: 'wrap' }), personId };
  const close = (at: number, stopId: string, lines: readonly unknown[]) =>
    phone.line(at, { kind: 'close', stopId, round: 1, lines, sums: SUMS });
  const seen = close(DAY + HOUR, first, [
    closedLine(other, 'seen', null),
    closedLine(lamp, 'scanned', scan.id),
  ]);
  const missing = close(DAY + 2 * HOUR, second, [closedLine(lamp, 'not-found', null)]);
  const mistake = close(DAY + 3 * HOUR, second, [closedLine(lamp, 'open', null)]);
  await send(service, [scan, seen, missing, mistake, phone.takeBack(DAY + 4 * HOUR, mistake)], phone.clocks);
  const { checks } = (await ask('GET', `/api/things/${lamp}/checks`)).body;
  expect(checks).toEqual([
    {
      ...{ stopId: second, round: 1, stopName: 'Sluice', zone: 'Europe/Lisbon', closedAt: DAY + 2 * HOUR },
      ...{ placeId: null, expected: 1, found: 0, said: 'not-found', personId: null },
    },
    {
      ...{ stopId: first, round: 1, stopName: 'Reed bed', zone: 'Europe/Lisbon', closedAt: DAY + HOUR },
      ...{ placeId: null, expected: 1, found: 1, said: 'scanned', personId },
    },
  ]);
  // As another entry for the same thing, it has them still.
  await ask('POST', `/api/things/${lamp}/merge`, { into: await makeItem('Lamp, marsh') });
  const into = (await ask('GET', `/api/things/${lamp}`)).body.mergedIntoId;
  expect((await ask('GET', `/api/things/${into}/checks`)).body.checks).toHaveLength(2);
  expect((await ask('GET', `/api/things/${randomUUID()}/checks`)).status).toBe(404);
});

test('a thing lists its pictures, the latest first, each with the hash of its bytes', async () => {
  const lamp = await makeItem('Lamp');
  const pictures = [1, 2].map((n) => ({ id: randomUUID(), bytes: new Uint8Array([0xff, 0xd8, 0xff, n]) }));
  for (const [n, { id, bytes }] of pictures.entries())
    await ask('PUT', `/api/pictures/${id}?thing=${lamp}&takenAt=${n}`, bytes);
  const expected = pictures.map(({ id, bytes }, n) => ({
    id,
    takenAt: n,
    // An implementation of FIPS 180-4 other than the database's.
    hash: createHash('sha256').update(bytes).digest('hex'),
  }));
  expect((await ask('GET', `/api/things/${lamp}/pictures`)).body.pictures).toEqual(expected.reverse());
  expect((await ask('GET', `/api/things/${randomUUID()}/pictures`)).status).toBe(404);
});

test('what is built on a thing is listed by it', async () => {
  const camera = await makeItem('Camera');
  const plate = await makeItem('Plate', { builtOnId: camera });
  const { things } = (await ask('GET', `/api/things?builtOn=${camera}`)).body;
  expect(things).toMatchObject([{ id: plate }]);
});
