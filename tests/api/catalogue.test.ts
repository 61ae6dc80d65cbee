// What a device begins with: everything of one moment, a book that reaches back far enough, and the cursor to go on from.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Catalogue, catalogueSchema, feedPageSchema } from '#domain/feed.ts';
import { standingOf } from '#domain/ledger.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { diceFrom, pick } from './fuzz.ts';
import { type Line, makePhone, send } from './lines.ts';

const DAY_MS = 86_400_000;
const NOW = Date.UTC(2024, 4, 30, 12);
let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => NOW });
});
afterAll(() => service.close());

async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await service.ask('POST', path, { body });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name: string, more = {}) => make('/api/items', { ...plainFacts, name, ...more });
const makePlace = (name: string) =>
  make('/api/places', {
    kind: 'store',
    name,
    parentId: null,
    sort: 0,
    zone: null,
    address: null,
    note: null,
  });
async function readCatalogue(): Promise<Catalogue> {
  const reply = await service.ask('GET', '/api/catalogue');
  expect(reply.status, reply.text.slice(0, 500)).toBe(200);
  return catalogueSchema.parse(reply.body);
}
const standingIn = (book: Catalogue) =>
  standingOf({ ...book, lines: book.lines.map(({ line, ...time }) => ({ ...line, ...time })) });

test('there is none before the outfit has a name; then there is', async () => {
  const none = await service.ask('GET', '/api/catalogue');
  expect([none.status, none.body.type]).toEqual([404, '/problems/no-outfit']);
  const facts = {
    name: 'Reed',
    currency: 'EUR',
    zone: 'UTC',
    units: 'metric',
    yearEnd: '12-31',
    mainsVolts: 230,
  };
  await service.ask('PUT', '/api/outfit', {
    body: { ...facts, dayTurnsMinutes: 300, lastLook: ['wall sockets'] },
  });
  expect((await readCatalogue()).outfit).toMatchObject({ name: 'Reed', lastLook: ['wall sockets'] });
});

test('its book gives the positions and numbers of the whole ledger, with voids, late lines and hand counts', async () => {
  const dice = diceFrom(11);
  const items = await Promise.all(Array.from({ length: 12 }, (_, n) => makeItem(`Lamp ${n}`)));
  const clamps = await make('/api/counted-gear', { ...plainFacts, name: 'Clamp' });
  const places = await Promise.all(['A', 'B', 'C'].map(makePlace));
  const phone = makePhone();
  const lines: Line[] = [];
  for (let n = 0; n < 200; n += 1) {
    const at = NOW - 30 * DAY_MS + Math.floor((n * 30 * DAY_MS) / 200);
    const [item = '', from = '', to = ''] = [pick(items, dice), pick(places, dice), pick(places, dice)];
    const kind = dice();
    if (kind < 0.1) lines.push(phone.handCount(at, clamps, to, Math.floor(dice() * 9)));
    else if (kind < 0.3) lines.push(phone.quantity(at, clamps, 1 + Math.floor(dice() * 5), from, to));
    else lines.push(phone.move(at, item, to));
  }
  const backs = lines.filter(() => dice() < 0.15).map((line) => phone.takeBack(NOW - DAY_MS, line));
  await send(service, [...lines, ...backs], phone.clocks);
  const book = await readCatalogue();
  expect(book.since).toBe(NOW - 8 * DAY_MS);
  const { positions, levels } = standingIn(book);
  const { sql } = service.database;
  const kept = await sql<{ thingId: string; placeId: string }[]>`
    select thing_id as "thingId", place_id as "placeId" from position`;
  expect(Object.fromEntries([...positions].map(([id, position]) => [id, position.placeId]))).toEqual(
    Object.fromEntries(kept.map((row) => [row.thingId, row.placeId])),
  );
  const numbers = await sql<{ placeId: string; number: number }[]>`
    select place_id as "placeId", number from stock_level where thing_id = ${clamps} and number <> 0`;
  const ofClamps = [...levels].find(([id]) => id.toString() === clamps)?.[1] ?? new Map();
  expect(Object.fromEntries(ofClamps)).toEqual(
    Object.fromEntries(numbers.map((row) => [row.placeId, row.number])),
  );
});

test('a void of a line in the book comes along, also where it stands before the book begins', async () => {
  const [lamp, shore, phone, other] = [
    await makeItem('Lamp'),
    await makePlace('Shore'),
    makePhone(),
    makePhone(),
  ];
  const mistake = phone.move(NOW - DAY_MS, lamp, shore);
  await send(service, [mistake], phone.clocks);
  // Another phone's clock was behind by weeks and nobody measured it.
  const back = other.takeBack(NOW - 20 * DAY_MS, mistake);
  await send(service, [back], other.clocks);
  const book = await readCatalogue();
  expect(book.lines.map(({ line }) => line.id)).toEqual(expect.arrayContaining([mistake.id, back.id]));
  expect([...standingIn(book).positions.keys()]).not.toContain(lamp);
});

test('the book reaches back to before the oldest count that nobody closed, but never more than 60 days', async () => {
  const truck = await makeItem('Truck', { vehicle: true });
  const open = async (at: number) => {
    const stopId = randomUUID();
    const place = { id: randomUUID(), name: 'Hide', isNew: true };
    const stop = { jobId: null, name: 'Hide', kind: 'location', zone: 'UTC', startsAt: at, unnamed: false };
    await service.ask('PUT', `/api/stops/${stopId}`, { body: { id: stopId, ...stop, place } });
    const phone = makePhone();
    await send(service, [phone.line(at, { kind: 'open', stopId, round: 1, vehicleId: truck })], phone.clocks);
  };
  await open(NOW - 20 * DAY_MS);
  const { since } = await readCatalogue();
  expect(since).toBeLessThanOrEqual(NOW - 21 * DAY_MS);
  expect(since).toBeGreaterThan(NOW - 23 * DAY_MS);
  await open(NOW - 59.5 * DAY_MS);
  expect((await readCatalogue()).since).toBe(NOW - 60 * DAY_MS);
});

test('read while ten others write, a catalogue and its feed miss nothing and say of each place one truth', async () => {
  const shore = await makePlace('Busy shore');
  const lamps = await Promise.all(Array.from({ length: 10 }, (_, n) => makeItem(`Busy lamp ${n}`)));
  const write = async (lamp: string) => {
    const phone = makePhone();
    for (let n = 0; n < 12; n += 1)
      await send(service, [phone.move(NOW - 1_000 + n, lamp, shore)], phone.clocks);
  };
  const writing = Promise.all(lamps.map(write));
  const book = await readCatalogue();
  await writing;
  const known = new Set(book.lines.map(({ line }) => line.id.toString()));
  for (let { cursor } = book, more = true; more; ) {
    const reply = await service.ask('GET', `/api/feed?no=${cursor.no}&token=${cursor.token}`);
    const page = feedPageSchema.parse(reply.body);
    for (const change of page.changes) if (change.kind === 'movement') known.add(change.body.line.id);
    ({ cursor, more } = page);
  }
  const written = await service.database.sql<{ id: string }[]>`
    select id from movement where thing_id = any(${lamps}::uuid[])`;
  expect(written.filter(({ id }) => !known.has(id))).toEqual([]);
  expect(written.count).toBe(120);
});
