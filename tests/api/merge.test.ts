// Two entries that turn out to be one thing: made one, and two again.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { countSchema } from '#domain/count-shape.ts';
import { catalogueSchema, feedPageSchema, recordedSchema } from '#domain/feed.ts';
import { rebuildCache } from '../../api/movements/rebuild-cache.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { makePhone, send } from './lines.ts';

// A day in the past, in a zone without summer time: it turns at 05:00 UTC.
const DAY = Date.UTC(2024, 4, 2, 5);
const HOUR = 3_600_000;
const idsSchema = z.array(z.object({ id: z.string() }));
const now = DAY + 12 * HOUR;
let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => now });
  const outfit = { name: 'Reed', currency: 'EUR', zone: 'UTC', units: 'metric', yearEnd: '12-31' };
  const body = { ...outfit, mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] };
  expect((await service.ask('PUT', '/api/outfit', { body })).status).toBe(201);
});
afterAll(() => service.close());

const ask = (method: string, path: string, body?: unknown, headers = {}) =>
  service.ask(method, path, { body, headers });
async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await ask('POST', path, body);
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name: string, more = {}) => make('/api/items', { ...plainFacts, name, ...more });
const makePlace = (name: string, kind = 'store', parentId: string | null = null) =>
  make('/api/places', { kind, name, parentId, sort: 0, zone: null, address: null, note: null });
const merge = (gone: string, into: string, more = {}) =>
  ask('POST', `/api/things/${gone}/merge`, { into, ...more });
const takeBack = (gone: string) => ask('DELETE', `/api/things/${gone}/merge`);
const readThing = async (id: string) => (await ask('GET', `/api/things/${id}`)).body;

/** Where things are by the cache, and that the ledger says the same. */
async function positionOf(id: string): Promise<string | null> {
  const { sql } = service.database;
  expect((await rebuildCache(sql)).mended).toBe(0);
  const [row] = await sql<{ place: string }[]>`select place_id as place from position where thing_id = ${id}`;
  return row?.place ?? null;
}
async function levelsOf(id: string): Promise<Record<string, number>> {
  const { sql } = service.database;
  expect((await rebuildCache(sql)).mended).toBe(0);
  const rows = await sql<{ place: string; number: number }[]>`
    select place_id as place, number::int as number from stock_level where thing_id = ${id} and number <> 0`;
  return Object.fromEntries(rows.map(({ place, number }) => [place, number]));
}

/** Two entries for one charger: this one in the store since yesterday, the other one at the hide since this morning. */
async function makeTwo() {
  const [store, hide] = [await makePlace('Store'), await makePlace('Hide', 'location')];
  const [kept, gone] = [await makeItem('Twin charger'), await makeItem('Charger, double')];
  const phone = makePhone();
  const lines = [
    phone.move(DAY - 9 * HOUR, kept, store, { why: 'arrival' }),
    phone.move(DAY - 8 * HOUR, gone, store, { why: 'arrival' }),
    phone.move(DAY + HOUR, gone, hide, { spot: 'at the wall socket' }),
  ];
  await send(service, lines, phone.clocks);
  return { store, hide, kept, gone, phone, lines };
}

describe('a merge', () => {
  test('takes the later of two positions, and the entry that goes is nowhere any more', async () => {
    const { hide, kept, gone, store } = await makeTwo();
    expect(await positionOf(kept)).toBe(store);
    const reply = await merge(gone, kept);
    expect(reply).toMatchObject({ status: 201, body: { thingId: gone, intoId: kept, at: now } });
    expect(await positionOf(kept)).toBe(hide);
    expect(await positionOf(gone)).toBeNull();
    expect(await readThing(gone)).toMatchObject({ mergedIntoId: kept, version: 2 });
  });

  test('leaves the earlier of two positions in the past', async () => {
    const { kept, gone, store } = await makeTwo();
    await merge(kept, gone);
    expect(await positionOf(gone)).not.toBe(store);
  });

  test('changes no line: each is taken back, and said again with its own time, place, person and words', async () => {
    const { kept, gone, lines } = await makeTwo();
    const { sql } = service.database;
    const before = await sql`select * from movement where thing_id in (${kept}, ${gone}) order by id`;
    await merge(gone, kept);
    const after = await sql`
      select * from movement where id = any(${before.map((row) => row.id)}::uuid[]) order by id`;
    expect([...after]).toEqual([...before]);
    const { movements } = (await ask('GET', `/api/things/${kept}/history`)).body;
    expect(movements).toMatchObject([
      { at: DAY + HOUR, line: { kind: 'move', spot: 'at the wall socket', thingId: kept } },
      { at: DAY - 8 * HOUR, line: { why: 'arrival', check: 'scanned' } },
      { at: DAY - 9 * HOUR, line: { id: lines[0]?.id } },
    ]);
  });

  test('takes codes, pictures, prices, packages and what is built on it along', async () => {
    const { kept, gone } = await makeTwo();
    const code = `SEDGE-${randomUUID()}`;
    expect((await ask('PUT', `/api/codes/${code}`, { thingId: gone })).status).toBe(201);
    const picture = randomUUID();
    const jpeg = new Uint8Array([0xff, 0xd8, 0xff, 0xe0, 1]);
    expect((await ask('PUT', `/api/pictures/${picture}?thing=${gone}`, jpeg)).status).toBe(201);
    const value = { amountMinor: 18_900, currency: 'EUR', onDate: '2024-01-02', source: 'Sedge Power' };
    expect((await ask('POST', `/api/things/${gone}/values`, value)).status).toBe(201);
    const plate = await makeItem('Plate', { builtOnId: gone });
    const packageId = await make('/api/packages', {
      name: 'Hide kit',
      note: null,
      lines: [{ thingId: gone, classId: null, number: 1, spares: 0 }],
    });

    await merge(gone, kept);
    expect((await ask('GET', `/api/codes/${code}`)).body).toMatchObject({
      means: 'thing',
      ties: [{ thingId: kept, since: now }],
      history: [{ thingId: gone, until: now }],
    });
    expect(await readThing(kept)).toMatchObject({ codes: [code], replacement: { minor: 18_900 } });
    expect((await ask('GET', `/api/things/${kept}/pictures`)).body.pictures).toMatchObject([{ id: picture }]);
    expect(await readThing(plate)).toMatchObject({ builtOnId: kept, version: 2 });
    expect((await ask('GET', `/api/packages/${packageId}`)).body).toMatchObject({
      version: 2,
      lines: [{ thingId: kept }],
    });

    expect((await takeBack(gone)).status).toBe(200);
    expect((await ask('GET', `/api/codes/${code}`)).body).toMatchObject({ ties: [{ thingId: gone }] });
    expect(await readThing(kept)).toMatchObject({ codes: [], replacement: null });
    expect(await readThing(gone)).toMatchObject({ codes: [code], mergedIntoId: null });
    expect(await readThing(plate)).toMatchObject({ builtOnId: gone });
    expect((await ask('GET', `/api/things/${gone}/pictures`)).body.pictures).toMatchObject([{ id: picture }]);
  });

  test('is faulty when either was, and has the latest word', async () => {
    const { kept, gone, phone } = await makeTwo();
    await send(service, [
      phone.line(DAY + 2 * HOUR, { kind: 'mark', thingId: gone, mark: 'faulty', on: true, note: 'hums' }),
    ]);
    await merge(gone, kept);
    expect(await readThing(kept)).toMatchObject({ faulty: 'hums' });
    await send(service, [
      phone.line(DAY + 3 * HOUR, { kind: 'mark', thingId: kept, mark: 'faulty', on: false }),
    ]);
    expect(await readThing(kept)).toMatchObject({ faulty: null });
  });

  test('of counted gear adds the numbers up at each place', async () => {
    const [bin, boat] = [await makePlace('Bin'), await makePlace('Boat')];
    const [kept, gone] = [
      await make('/api/counted-gear', { ...plainFacts, name: 'Clamp' }),
      await make('/api/counted-gear', { ...plainFacts, name: 'Clamp, super' }),
    ];
    const phone = makePhone();
    await send(
      service,
      [
        phone.handCount(DAY - 4 * HOUR, kept, bin, 12),
        phone.quantity(DAY - 3 * HOUR, gone, 8, null, boat),
        phone.handCount(DAY - 2 * HOUR, gone, bin, 3),
        phone.quantity(DAY - HOUR, gone, 4, bin, boat),
      ],
      phone.clocks,
    );
    expect(await levelsOf(gone)).toEqual({ [bin]: -1, [boat]: 12 });
    await merge(gone, kept);
    expect(await levelsOf(kept)).toEqual({ [bin]: 11, [boat]: 12 });
    expect(await levelsOf(gone)).toEqual({});
    await takeBack(gone);
    expect(await levelsOf(kept)).toEqual({ [bin]: 12 });
    expect(await levelsOf(gone)).toEqual({ [bin]: -1, [boat]: 12 });
  });

  test('of a case in which nothing ever was takes its place along and gives it back', async () => {
    const [kept, gone] = [
      await makeItem('Case', { container: true }),
      await makeItem('Case, black', { container: true }),
    ];
    expect((await merge(gone, kept)).status).toBe(201);
    expect((await ask('GET', `/api/places/${gone}`)).status).toBe(404);
    await takeBack(gone);
    expect((await ask('GET', `/api/places/${gone}`)).body).toMatchObject({
      kind: 'container',
      name: 'Case, black',
    });
  });

  test('asked for twice is one', async () => {
    const { kept, gone } = await makeTwo();
    const id = randomUUID();
    const replies = await Promise.all([merge(gone, kept, { id }), merge(gone, kept, { id })]);
    expect(replies.map(({ status }) => status).sort()).toEqual([200, 201]);
    expect((await ask('GET', `/api/things/${kept}/history`)).body.movements).toHaveLength(3);
  });
});

describe('at the same moment', () => {
  test('of two that merge into each other one is refused', async () => {
    const { kept, gone } = await makeTwo();
    const replies = await Promise.all([merge(gone, kept), merge(kept, gone)]);
    expect(replies.map(({ status }) => status).sort()).toEqual([201, 409]);
  });

  test('scans of both entries land on the one that stays', async () => {
    const { kept, gone, hide } = await makeTwo();
    const phones = Array.from({ length: 12 }, makePhone);
    const scans = phones.map((phone, n) =>
      send(service, [phone.move(DAY + 2 * HOUR + n, n % 2 === 0 ? gone : kept, hide)], phone.clocks),
    );
    const [reply, ...answers] = await Promise.all([merge(gone, kept), ...scans]);
    expect(reply.status).toBe(201);
    expect(answers.flat().map(({ answer }) => answer)).toEqual(new Array(12).fill('recorded'));
    expect(await positionOf(kept)).toBe(hide);
    expect(await positionOf(gone)).toBeNull();
  });
});

describe('taking it back', () => {
  test('gives each entry the lines that were its own', async () => {
    const { hide, store, kept, gone } = await makeTwo();
    await merge(gone, kept);
    expect((await takeBack(gone)).body).toMatchObject({ id: gone, mergedIntoId: null, version: 3 });
    expect(await positionOf(gone)).toBe(hide);
    expect(await positionOf(kept)).toBe(store);
  });

  test('does not bring back what was undone meanwhile', async () => {
    const { store, kept, gone } = await makeTwo();
    await merge(gone, kept);
    const { body } = await ask('GET', `/api/things/${kept}/history?limit=1`);
    const [latest] = recordedSchema.array().parse(body.movements);
    if (latest === undefined) throw new Error('what was said again is in the history');
    await send(service, [makePhone().takeBack(now, latest.line)]);
    expect(await positionOf(kept)).toBe(store);
    await takeBack(gone);
    expect(await positionOf(gone)).toBe(store);
  });

  test('can be followed by the same merge again', async () => {
    const { hide, kept, gone } = await makeTwo();
    await merge(gone, kept);
    await takeBack(gone);
    expect((await merge(gone, kept)).status).toBe(201);
    expect(await positionOf(kept)).toBe(hide);
    await takeBack(gone);
    expect(await positionOf(gone)).toBe(hide);
  });

  test('of what was never merged is refused', async () => {
    const { kept } = await makeTwo();
    expect((await takeBack(kept)).status).toBe(404);
    expect((await takeBack(randomUUID())).status).toBe(404);
  });
});

describe('what a phone sends that has not heard of it', () => {
  test('a scan of the entry that went is one of the one that stayed', async () => {
    const { kept, gone, phone, store } = await makeTwo();
    await merge(gone, kept);
    const late = phone.move(DAY + 4 * HOUR, gone, store);
    expect(await send(service, [late])).toMatchObject([{ answer: 'recorded' }]);
    expect(await positionOf(kept)).toBe(store);
    expect(await positionOf(gone)).toBeNull();
    // The same line again is the line that is known, though it is kept for another thing than it names.
    expect(await send(service, [late])).toMatchObject([{ answer: 'already-known' }]);
    const feed = feedPageSchema.parse((await ask('GET', '/api/feed?no=0&token=&limit=2000')).body);
    const heard = feed.changes.find(
      (change) => change.kind === 'movement' && change.body.line.id === late.id,
    );
    expect(heard).toMatchObject({ body: { line: { thingId: kept } } });
  });

  test('an undo of a line of the entry that went undoes what was said again of it', async () => {
    const { kept, gone, phone, lines, store } = await makeTwo();
    await merge(gone, kept);
    const last = lines[2];
    if (last === undefined) throw new Error('the charger went to the hide');
    expect(await send(service, [phone.takeBack(DAY + 5 * HOUR, last)])).toMatchObject([
      { answer: 'recorded' },
    ]);
    expect(await positionOf(kept)).toBe(store);
  });

  test('the tag of the entry that went means the other one on a phone that has heard', async () => {
    const { kept, gone } = await makeTwo();
    const code = `SEDGE-${randomUUID()}`;
    await ask('PUT', `/api/codes/${code}`, { thingId: gone });
    await merge(gone, kept);
    const catalogue = catalogueSchema.parse((await ask('GET', '/api/catalogue')).body);
    expect(catalogue.things.find(({ id }) => id === kept)).toMatchObject({ codes: [code] });
    expect(catalogue.things.find(({ id }) => id === gone)).toMatchObject({ codes: [], mergedIntoId: kept });
  });
});

describe('a count', () => {
  async function openEvening() {
    const truck = await makeItem('Truck', { vehicle: true });
    const drawer = await makePlace('Drawer', 'compartment', truck);
    const [kept, gone] = [await makeItem('Lens'), await makeItem('Lens, long')];
    const stopId = randomUUID();
    const place = { id: randomUUID(), name: 'North hide', isNew: true };
    const stop = {
      jobId: null,
      name: 'North hide',
      kind: 'location',
      zone: 'UTC',
      startsAt: DAY,
      unnamed: false,
    };
    await ask('PUT', `/api/stops/${stopId}`, { id: stopId, ...stop, place });
    const phone = makePhone();
    await send(
      service,
      [
        phone.move(DAY - 5 * HOUR, kept, drawer, { why: 'arrival' }),
        phone.move(DAY - 4 * HOUR, gone, drawer, { why: 'arrival' }),
        phone.line(DAY + 9 * HOUR, { kind: 'open', stopId, round: 1, vehicleId: truck }),
      ],
      phone.clocks,
    );
    const read = async () => {
      const count = countSchema.parse((await ask('GET', `/api/counts/${stopId}/1`)).body);
      return count.lines.map(({ name, state }) => `${name}: ${state}`);
    };
    return { kept, gone, drawer, stopId, phone, read };
  }

  test('never asks for the entry that went', async () => {
    const { kept, gone, read } = await openEvening();
    expect(await read()).toEqual(['Lens: open', 'Lens, long: open']);
    await merge(gone, kept);
    expect(await read()).toEqual(['Lens: open']);
    await takeBack(gone);
    expect(await read()).toEqual(['Lens: open', 'Lens, long: open']);
  });

  test('has what was scanned under the other name, and does not believe that its double is missing', async () => {
    const { kept, gone, drawer, stopId, phone, read } = await openEvening();
    const inCount = { stopId, round: 1, why: 'wrap' };
    await send(service, [
      phone.move(DAY + 10 * HOUR, gone, drawer, inCount),
      phone.line(DAY + 11 * HOUR, {
        ...{ kind: 'absence', thingId: kept, toId: null, finding: 'not-found', number: null, shownId: null },
        ...{ stopId, round: 1 },
      }),
    ]);
    expect(await read()).toEqual(['Lens: absent', 'Lens, long: aboard']);
    await merge(kept, gone);
    expect(await read()).toEqual(['Lens, long: aboard']);
  });
});

describe('refused', () => {
  const typeOf = ({ status, body }: Awaited<ReturnType<typeof ask>>) => [status, body.type];

  test('what is the same entry, unknown, merged or holds merged ones', async () => {
    const { kept, gone } = await makeTwo();
    const other = await makeItem('Other charger');
    expect(typeOf(await merge(kept, kept))).toEqual([422, '/problems/merge-into-itself']);
    expect(typeOf(await merge(kept, randomUUID()))).toEqual([422, '/problems/unknown-reference']);
    expect(typeOf(await merge(randomUUID(), kept))).toEqual([404, '/problems/not-found']);
    await merge(gone, kept);
    expect(typeOf(await merge(gone, other))).toEqual([409, '/problems/merged-already']);
    expect(typeOf(await merge(other, gone))).toEqual([409, '/problems/merged-already']);
    expect(typeOf(await merge(kept, other))).toEqual([409, '/problems/others-merged-into-it']);
    expect((await merge(other, kept)).status).toBe(201);
  });

  test('what is of another kind, of another owner, or built on the other', async () => {
    const [item, clamps] = [
      await makeItem('Clamp'),
      await make('/api/counted-gear', { ...plainFacts, name: 'Clamp' }),
    ];
    expect((await merge(item, clamps)).body).toMatchObject({
      status: 422,
      type: '/problems/not-alike',
      errors: [{ pointer: '/kind', detail: 'one is an item, the other counted gear' }],
    });
    const lent = await makeItem('Clamp', { whose: 'borrowed' });
    expect((await merge(lent, item)).body).toMatchObject({ errors: [{ pointer: '/whose' }] });
    const plate = await makeItem('Plate', { builtOnId: item });
    expect((await merge(plate, item)).body).toMatchObject({ errors: [{ pointer: '/builtOnId' }] });
  });

  test('what is written off, and a case that something is or was in', async () => {
    const { kept, gone } = await makeTwo();
    const lost = { thingId: gone, number: 1, onDate: '2024-05-01', reason: 'lost', note: null };
    const written = await ask('POST', '/api/write-offs', lost);
    expect(typeOf(await merge(gone, kept))).toEqual([409, '/problems/already-written-off']);
    expect(typeOf(await merge(kept, gone))).toEqual([409, '/problems/already-written-off']);
    await ask('DELETE', `/api/write-offs/${written.body.id}`);
    const [box, other] = [
      await makeItem('Box', { container: true }),
      await makeItem('Box', { container: true }),
    ];
    const phone = makePhone();
    await send(service, [phone.move(DAY, kept, box)], phone.clocks);
    expect(typeOf(await merge(box, other))).toEqual([409, '/problems/still-in-use']);
    expect((await readThing(box)).mergedIntoId).toBeNull();
    expect((await merge(other, box)).status).toBe(201);
  });

  test('an edit, a price or a picture of the entry that went, which is on no list any more', async () => {
    const { kept, gone } = await makeTwo();
    await merge(gone, kept);
    const edit = await ask('PUT', `/api/items/${gone}`, { ...plainFacts, name: 'X' }, { 'if-match': '"2"' });
    expect(typeOf(edit)).toEqual([409, '/problems/merged-already']);
    const value = { amountMinor: 1, currency: 'EUR', onDate: '2024-01-02', source: 'Sedge Power' };
    expect(typeOf(await ask('POST', `/api/things/${gone}/values`, value))).toEqual([
      409,
      '/problems/merged-already',
    ]);
    const jpeg = new Uint8Array([0xff, 0xd8, 0xff, 0xe0, 2]);
    expect(typeOf(await ask('PUT', `/api/pictures/${randomUUID()}?thing=${gone}`, jpeg))).toEqual([
      422,
      '/problems/unknown-reference',
    ]);
    const lost = { thingId: gone, number: 1, onDate: '2024-05-01', reason: 'lost', note: null };
    expect(typeOf(await ask('POST', '/api/write-offs', lost))).toEqual([409, '/problems/merged-already']);
    const listed = async (query: string) =>
      idsSchema.parse((await ask('GET', `/api/things?${query}`)).body.things).map(({ id }) => id);
    expect(await listed('text=charger&limit=500')).not.toContain(gone);
    expect(await listed(`mergedInto=${kept}`)).toEqual([gone]);
  });

  test.each([[{}], [{ into: 'x' }], [{ into: null }], [{ into: randomUUID(), more: 1 }]])(
    'a request that says %j',
    async (body) => {
      const { gone } = await makeTwo();
      expect(typeOf(await ask('POST', `/api/things/${gone}/merge`, body))).toEqual([
        400,
        '/problems/invalid-request',
      ]);
    },
  );
});
