// What codes, values, marks and write-offs say of a thing when it is read.
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeUuidV7, type ThingId, thingIdSchema } from '#domain/ids.ts';
import { type Thing, thingFactsSchema, thingSchema } from '#domain/thing.ts';
import { readThings } from '../../api/things/store.ts';
import { currencyDigits, valueRankOf } from '../../api/things/value-rank.ts';
import { insertThing } from '../../api/things/write-facts.ts';
import { openTestDatabase, type TestDatabase } from '../database.ts';
import { plainFacts } from './facts.ts';

let database: TestDatabase;
beforeAll(async () => {
  database = await openTestDatabase();
});
afterAll(() => database.close());

async function enter(facts: Partial<typeof plainFacts> = {}): Promise<ThingId> {
  const id = thingIdSchema.parse(randomUUID());
  await database.sql.begin((tx) => insertThing(tx, id, 'item', { ...plainFacts, ...facts }));
  return id;
}

async function read(id: ThingId): Promise<Thing> {
  const [thing] = await readThings(database.sql, [id]);
  return thingSchema.parse(thing);
}

async function writeLine(line: Record<string, unknown>, at: number): Promise<string> {
  const id = makeUuidV7(at, randomBytes(16));
  const { thingId, voids, kind, ...body } = line;
  await database.sql`
    insert into movement ${database.sql({
      id,
      kind: String(kind),
      thing_id: String(thingId),
      voids: typeof voids === 'string' ? voids : null,
      at,
      device_id: randomUUID(),
      device_no: 1,
      received_at: at,
      body: database.sql.json(JSON.parse(JSON.stringify(body))),
    })}`;
  return id;
}

const mark = (thingId: ThingId, which: string, on: boolean, note: string | null, at: number) =>
  writeLine({ kind: 'mark', thingId, mark: which, on, note }, at);

test('every fact comes back as it was written', async () => {
  const home = randomUUID();
  await database.sql`insert into place ${database.sql({ id: home, kind: 'store', name: 'Boathouse' })}`;
  const facts = thingFactsSchema.parse({
    ...plainFacts,
    maker: 'Rohrdommel',
    whose: 'rented-in',
    whoseFrom: '2026-11-01',
    whoseUntil: '2026-12-24',
    feeMinor: 1_250,
    feePer: 'day',
    weightGrams: 980,
    purchasedOn: '2024-02-29',
    purchaseMinor: 9_000_000_000_000,
    purchaseCurrency: 'EUR',
    country: 'PT',
    chemistry: 'lithium-ion',
    wattHours: 97.44,
    ampereHours: 6.618,
    cycles: 0,
    homes: [{ way: 'driving', placeId: home, number: 1 }],
  });
  const id = await enter(facts);
  expect(await read(id)).toEqual({
    ...facts,
    id,
    kind: 'item',
    codes: [],
    replacement: null,
    valueRank: 0,
    faulty: null,
    holdsRushes: false,
    mergedIntoId: null,
    writtenOff: false,
    version: 1,
  });
});

test('the latest mark by time holds, whatever the order in which the lines came', async () => {
  const id = await enter();
  await mark(id, 'faulty', false, null, 3_000);
  await mark(id, 'faulty', true, 'hums', 2_000);
  await mark(id, 'holds-rushes', true, null, 1_000);
  expect(await read(id)).toMatchObject({ faulty: null, holdsRushes: true });
  await mark(id, 'faulty', true, 'the lock slips', 4_000);
  expect(await read(id)).toMatchObject({ faulty: 'the lock slips' });
});

test('a mark that was undone does not count, and the one before it holds again', async () => {
  const id = await enter();
  await mark(id, 'faulty', true, 'first', 1_000);
  const undone = await mark(id, 'faulty', false, null, 2_000);
  await writeLine({ kind: 'void', thingId: id, voids: undone }, 3_000);
  expect(await read(id)).toMatchObject({ faulty: 'first' });
});

test('a fault without words is told from no fault', async () => {
  const id = await enter();
  await mark(id, 'faulty', true, null, 1_000);
  expect((await read(id)).faulty).toBe('faulty');
});

test('only codes that are on the thing now are its codes, the oldest first', async () => {
  const id = await enter();
  const code = (text: string, since: number, until: number | null) => database.sql`
    insert into code ${database.sql({ id: randomUUID(), code: text, kind: 'tag', thing_id: id, since, until })}`;
  await code('LATER', 20, null);
  await code('EARLIER', 10, null);
  await code('GONE', 1, 5);
  expect((await read(id)).codes).toEqual(['EARLIER', 'LATER']);
});

test('the value of the latest date is the replacement value', async () => {
  const id = await enter();
  const value = (amount: number, on: string) => database.sql`
    insert into replacement_value ${database.sql({ id: randomUUID(), thing_id: id, amount_minor: amount, currency: 'EUR', on_date: on, source: 'price list' })}`;
  await value(150_000, '2026-05-01');
  await value(90_000, '2024-05-01');
  const thing = await read(id);
  expect(thing.replacement).toEqual({ minor: 150_000, currency: 'EUR' });
  expect(thing.valueRank).toBeGreaterThan(0);
});

test('a written-off item says so', async () => {
  const id = await enter();
  await database.sql`
    insert into write_off ${database.sql({ id: randomUUID(), thing_id: id, on_date: '2026-11-25', reason: 'lost' })}`;
  expect((await read(id)).writtenOff).toBe(true);
});

test('asking for none, for unknown ids and for all answers just these', async () => {
  const id = await enter({ name: 'Findable among all' });
  expect(await readThings(database.sql, [])).toEqual([]);
  expect(await readThings(database.sql, [thingIdSchema.parse(randomUUID())])).toEqual([]);
  expect((await readThings(database.sql, 'all')).map((thing) => thing.id)).toContain(id);
});

// Digits: ISO 4217 list one, columns "Alphabetic Code" and "Minor unit": JPY 0, EUR 2, KWD 3.
test('the value rank is 0 for unknown, rises with the value, and compares currencies by whole units', () => {
  expect([currencyDigits('JPY'), currencyDigits('EUR'), currencyDigits('KWD')]).toEqual([0, 2, 3]);
  expect(valueRankOf(null, 2)).toBe(0);
  expect(valueRankOf({ minor: 0, currency: 'EUR' }, 2)).toBe(0);
  const ranks = [1, 100, 5_000, 50_000, 500_000].map((minor) => valueRankOf({ minor, currency: 'EUR' }, 2));
  expect(ranks).toEqual([...new Set(ranks)].sort((a, b) => a - b));
  expect(valueRankOf({ minor: 500, currency: 'JPY' }, 0)).toBe(
    valueRankOf({ minor: 50_000, currency: 'EUR' }, 2),
  );
});

test('the value rank does not tell two near amounts apart', () => {
  expect(valueRankOf({ minor: 123_000, currency: 'EUR' }, 2)).toBe(
    valueRankOf({ minor: 124_000, currency: 'EUR' }, 2),
  );
});
