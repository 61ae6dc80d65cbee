// A book that begins with containers in a loop: the chain is that of the whole ledger (law 7).
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Book } from '#domain/book.ts';
import { chainOf, loopsIn } from '#domain/chain.ts';
import { catalogueSchema } from '#domain/feed.ts';
import { makeUuidV7, placeIdSchema } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import { readBook } from '../../api/movements/read-book.ts';
import { startService } from './app.ts';
import { plainFacts } from './facts.ts';

const EVENING = Date.UTC(2026, 9, 1, 18);
const WEEKS_LATER = EVENING + 21 * 86_400_000;
let now = EVENING;
let service: Awaited<ReturnType<typeof startService>>;
beforeAll(async () => {
  service = await startService({ clock: () => now });
});
afterAll(() => service.close());

const outfit = {
  ...{ name: 'Two Herons Film', currency: 'EUR', zone: 'UTC', units: 'metric', yearEnd: '12-31' },
  ...{ mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] },
};
const store = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };

async function make(path: string, facts: object): Promise<string> {
  const reply = await service.ask('POST', path, { body: facts });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}

/** One phone's lines, a minute apart from `EVENING` less an hour: what went where. */
async function say(moves: readonly (readonly [string, string])[]): Promise<void> {
  const stamp = { deviceId: randomUUID(), clockRun: randomUUID(), personId: null };
  const context = { stopId: null, round: null, note: null, check: 'scanned', why: 'tidy', spot: null };
  const movements = moves.map(([thingId, toId], index) => {
    const deviceAt = EVENING - 3_600_000 + index * 60_000;
    const own = { id: makeUuidV7(deviceAt, randomBytes(16)), deviceNo: index + 1, deviceAt };
    return { kind: 'move', ...stamp, ...own, ...context, thingId, code: null, toId, sealUnbroken: false };
  });
  const clocks = [{ clockRun: stamp.clockRun, offsetMs: 0 }];
  const reply = await service.ask('POST', '/api/movements', { body: { clocks, movements } });
  expect(reply.body.answers).toMatchObject(movements.map(() => ({ answer: 'recorded' })));
}

async function readCatalogue() {
  return catalogueSchema.parse((await service.ask('GET', '/api/catalogue')).body);
}

test('three cases that were put into each other weeks ago are where the whole ledger has them', async () => {
  await service.ask('PUT', '/api/outfit', { body: outfit });
  const shed = await make('/api/places', { ...store, name: 'Shed' });
  const barn = await make('/api/places', { ...store, name: 'Barn' });
  const [a, b, c] = [
    await make('/api/items', { ...plainFacts, name: 'Long case', container: true }),
    await make('/api/items', { ...plainFacts, name: 'Wide case', container: true }),
    await make('/api/items', { ...plainFacts, name: 'Tall case', container: true }),
  ];
  // The loop's latest edge is passed over, and so is the one of the loop that the edge before it then closes.
  await say([
    ...[[a, shed] as const, [b, barn] as const, [c, shed] as const],
    ...[[c, b] as const, [a, b] as const, [b, c] as const, [c, a] as const],
  ]);
  const whole = await readBook(service.database.sql, { since: 0, things: 'all' });
  now = WEEKS_LATER;
  const { places, ...book } = await readCatalogue();
  expect(book.since).toBeGreaterThan(EVENING);
  const atlas = (of: Book) => ({
    places: new Map(places.map((place) => [place.id, place])),
    history: standingOf(of).history,
  });
  const known = { ...book, lines: [] };
  expect(book.lines).toEqual([]);
  expect(loopsIn(atlas(known))).toEqual(loopsIn(atlas(whole)));
  expect(loopsIn(atlas(known))).toHaveLength(2);
  for (const [id, chain] of [
    [a, [a, b, barn]],
    [b, [b, barn]],
    [c, [c, b, barn]],
  ] as const) {
    const place = placeIdSchema.parse(id);
    expect(chainOf(place, atlas(whole))).toEqual(chain);
    expect(chainOf(place, atlas(known))).toEqual(chain);
  }
});
