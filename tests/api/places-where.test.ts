// Where everything is, over HTTP: the tree with its sums, and the lists of one place.
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { makeUuidV7 } from '#domain/ids.ts';
import { contentPageSchema, homePageSchema, type PlaceNode, placeTreeSchema } from '#domain/where.ts';
import { plainFacts } from './facts.ts';
import { makeItem, makePlace, type RecordService, startRecord, writeMove } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
  await service.ask('PUT', '/api/outfit', {
    ...{
      name: 'Two in the reeds',
      currency: 'EUR',
      zone: 'Europe/Lisbon',
      units: 'metric',
      yearEnd: '12-31',
    },
    ...{ mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] },
  });
});
afterAll(() => service.close());

const MORNING = Date.UTC(2026, 10, 25, 5);

async function nodeOf(id: string): Promise<PlaceNode> {
  const { places } = placeTreeSchema.parse((await service.ask('GET', '/api/where')).body);
  const node = places.find((place) => place.id === id);
  if (node === undefined) throw new Error(`the tree does not have ${id}`);
  return node;
}

async function contentsOf(id: string, query = '') {
  return contentPageSchema.parse((await service.ask('GET', `/api/places/${id}/contents?${query}`)).body);
}
async function homesOf(id: string, query = '') {
  return homePageSchema.parse((await service.ask('GET', `/api/places/${id}/homes?${query}`)).body);
}

const makeVehicle = (name: string) => makeItem(service, { name, vehicle: true });
const home = (placeId: string, number = 1) => ({ way: 'driving', placeId, number });

async function value(thingId: string, amountMinor: number, onDate: string, currency = 'EUR'): Promise<void> {
  const facts = { amountMinor, currency, onDate, source: 'the shop’s list' };
  const reply = await service.ask('POST', `/api/things/${thingId}/values`, facts);
  expect(reply.status, JSON.stringify(reply.body)).toBeLessThan(300);
}

/** Counted gear of which so many are at each place. */
async function makeCounted(name: string, levels: Readonly<Record<string, number>>, homes: unknown[] = []) {
  const reply = await service.ask('POST', '/api/counted-gear', { ...plainFacts, name, homes });
  expect(reply.status, JSON.stringify(reply.body)).toBe(201);
  const thing_id = z.string().parse(reply.body.id);
  for (const [place_id, number] of Object.entries(levels))
    await service.sql`insert into stock_level ${service.sql({ thing_id, place_id, number })}`;
  return thing_id;
}

const desk = { deviceId: randomUUID(), clockRun: randomUUID() };
let deviceNo = 0;

/** A line of the ledger, through the one door there is. */
async function writeLine(line: Record<string, unknown>): Promise<void> {
  deviceNo += 1;
  const at = MORNING + deviceNo;
  const id = makeUuidV7(at, randomBytes(16));
  const stamp = {
    ...desk,
    id,
    deviceNo,
    deviceAt: at,
    personId: null,
    stopId: null,
    round: null,
    note: null,
  };
  const body = { clocks: [{ clockRun: desk.clockRun, offsetMs: 0 }], movements: [{ ...stamp, ...line }] };
  const reply = await service.ask('POST', '/api/movements', body);
  expect(reply.body.answers, JSON.stringify(reply.body)).toMatchObject([{ answer: 'recorded', at }]);
}

const moveThing = (thingId: string, toId: string) =>
  writeLine({
    kind: 'move',
    thingId,
    code: null,
    toId,
    check: null,
    why: 'tidy',
    spot: null,
    sealUnbroken: false,
  });

test('what lies in a compartment counts for its vehicle and for where the vehicle stands', async () => {
  const sluice = await makePlace(service, { kind: 'location', name: 'Sluice' });
  const car = await makeVehicle('Bittern');
  const drawer = await makePlace(service, { kind: 'compartment', name: 'Drawer', parentId: car });
  await writeMove(service, car, sluice, 1);
  await writeMove(service, await makeItem(service, { name: 'Lamp' }), drawer, 2);
  await makeCounted('Clamp', { [drawer]: 12 });
  expect(await nodeOf(drawer)).toMatchObject({ insideId: car, here: 2, things: 2 });
  expect(await nodeOf(car)).toMatchObject({ insideId: sluice, here: 0, things: 2 });
  expect(await nodeOf(sluice)).toMatchObject({ insideId: null, here: 1, things: 3 });
});

test('value is the latest replacement value of one’s own things times their number, by currency', async () => {
  const shelf = await makePlace(service, { name: 'Shelf of values' });
  const lens = await makeItem(service, { name: 'Lens' });
  await value(lens, 99_900, '2024-01-01');
  await value(lens, 120_000, '2026-01-01');
  const clamps = await makeCounted('Clamp', { [shelf]: 3 });
  await value(clamps, 2_490, '2026-01-01');
  const dollar = await makeItem(service, { name: 'Recorder' });
  await value(dollar, 50_000, '2026-01-01', 'USD');
  const rented = await makeItem(service, { name: 'Rented zoom', whose: 'rented-in' });
  await value(rented, 900_000, '2026-01-01');
  for (const id of [lens, dollar, rented]) await writeMove(service, id, shelf, 1);
  expect((await nodeOf(shelf)).worth).toEqual([
    { currency: 'EUR', minor: 120_000 + 3 * 2_490 },
    { currency: 'USD', minor: 50_000 },
  ]);
  const { contents } = await contentsOf(shelf);
  expect(contents.map(({ name, worth }) => [name, worth])).toEqual([
    ['Clamp', { currency: 'EUR', minor: 7_470 }],
    ['Lens', { currency: 'EUR', minor: 120_000 }],
    ['Recorder', { currency: 'USD', minor: 50_000 }],
    ['Rented zoom', null],
  ]);
});

test('sundries stand beside the value as an estimate', async () => {
  const garage = await makePlace(service, { name: 'Garage' });
  const board = await makePlace(service, { kind: 'compartment', name: 'Board', parentId: garage });
  const lump = { placeId: board, classId: null, description: 'Screws', amountMinor: 35_000, currency: 'EUR' };
  const made = await service.ask('POST', '/api/sundries', { ...lump, onDate: '2026-01-01' });
  expect(made.status).toBe(201);
  expect(await nodeOf(garage)).toMatchObject({ worth: [], estimate: [{ currency: 'EUR', minor: 35_000 }] });
});

test('a written-off thing is nowhere any more', async () => {
  const shelf = await makePlace(service, { name: 'Shelf of losses' });
  const lamp = await makeItem(service, { name: 'Lost lamp' });
  await value(lamp, 10_000, '2026-01-01');
  await writeMove(service, lamp, shelf, 1);
  const off = { thingId: lamp, number: 1, onDate: '2026-02-01', reason: 'lost', note: null };
  expect((await service.ask('POST', '/api/write-offs', off)).status).toBe(201);
  expect(await nodeOf(shelf)).toMatchObject({ here: 0, things: 0, worth: [] });
  expect(await contentsOf(shelf)).toEqual({ contents: [], all: 0 });
});

test('faulty, not found and overdue things are open matters of their place', async () => {
  const car = await makeVehicle('Bittern of matters');
  const drawer = await makePlace(service, { kind: 'compartment', name: 'Drawer', parentId: car });
  const [faulty, missing, late, fine] = [
    await makeItem(service, { name: 'Faulty lamp' }),
    await makeItem(service, { name: 'Missing lamp' }),
    await makeItem(service, { name: 'Late zoom', whose: 'rented-in', whoseUntil: '2026-11-24' }),
    await makeItem(service, { name: 'Rented today', whose: 'rented-in', whoseUntil: '2026-11-25' }),
  ];
  for (const id of [faulty, missing, late, fine]) await moveThing(id, drawer);
  await writeLine({ kind: 'mark', thingId: faulty, mark: 'faulty', on: true, note: 'hinge is loose' });
  const finding = { toId: null, finding: 'not-found', number: null, shownId: null };
  await writeLine({ kind: 'absence', thingId: missing, ...finding });
  expect(await nodeOf(car)).toMatchObject({ things: 4, faulty: 1, notFound: 1, overdue: 1 });
  const { contents, all } = await contentsOf(car, 'reach=inside&only=open');
  expect(all).toBe(3);
  expect(
    contents.map(({ name, faulty: words, notFound, overdue }) => [name, words, notFound, overdue]),
  ).toEqual([
    ['Faulty lamp', 'hinge is loose', false, null],
    ['Late zoom', null, false, '2026-11-24'],
    ['Missing lamp', null, true, null],
  ]);
  // It is found again, and mended, and given back.
  await moveThing(missing, drawer);
  await writeLine({ kind: 'mark', thingId: faulty, mark: 'faulty', on: false });
  expect(await nodeOf(car)).toMatchObject({ things: 4, faulty: 0, notFound: 0, overdue: 1 });
});

test('what went back to whom it belongs is not overdue', async () => {
  const made = await service.ask('POST', '/api/parties', {
    ...{ name: 'Quay Street Hire', role: 'rental-house', contact: null, email: null, phone: null },
    ...{ address: null, note: null },
  });
  const owner = z.string().parse(made.body.id);
  const late = { name: 'Late', whose: 'rented-in', whoseUntil: '2026-01-01', ownerPlaceId: owner };
  await moveThing(await makeItem(service, late), owner);
  expect(await nodeOf(owner)).toMatchObject({ things: 1, overdue: 0 });
});

test('two containers in each other: the latest line is passed over, and the tree has an end', async () => {
  const yard = await makePlace(service, { name: 'Yard of the ring' });
  const [big, small] = [
    await makeItem(service, { container: true, name: 'Big' }),
    await makeItem(service, { container: true, name: 'Small' }),
  ];
  await moveThing(big, yard);
  await moveThing(small, big);
  await moveThing(big, small);
  expect((await nodeOf(big)).insideId).toBe(yard);
  expect((await nodeOf(small)).insideId).toBe(big);
});

test('a window of a list is what stands there in the order by name, and the number of all is said', async () => {
  const shelf = await makePlace(service, { name: 'Shelf of windows' });
  for (const name of ['E', 'C', 'A', 'D', 'B'])
    await writeMove(service, await makeItem(service, { name: `Box ${name}` }), shelf, 1);
  const { contents, all } = await contentsOf(shelf, 'skip=1&limit=3');
  expect([all, ...contents.map(({ name }) => name)]).toEqual([5, 'Box B', 'Box C', 'Box D']);
  expect(await contentsOf(shelf, 'text=box%20e')).toMatchObject({ all: 1, contents: [{ name: 'Box E' }] });
  expect(await contentsOf(shelf, 'skip=9')).toEqual({ contents: [], all: 5 });
});

test('a thing that lives elsewhere is stray, unless it is in something that is in its home', async () => {
  const car = await makeVehicle('Bittern of homes');
  const left = await makePlace(service, { kind: 'compartment', name: 'Left', parentId: car });
  const right = await makePlace(service, { kind: 'compartment', name: 'Right', parentId: car });
  const pouch = await makeItem(service, { container: true, name: 'Pouch', homes: [home(left)] });
  const card = await makeItem(service, { name: 'Card', homes: [home(left)] });
  const lens = await makeItem(service, { name: 'Lens', homes: [home(left)] });
  await makeItem(service, { name: 'Never seen', homes: [home(left)] });
  await writeMove(service, pouch, left, 1);
  await writeMove(service, card, pouch, 2);
  await writeMove(service, lens, right, 3);
  expect((await contentsOf(car, 'reach=inside&only=stray')).contents).toMatchObject([
    { name: 'Lens', placeId: right, isStray: true },
  ]);
  expect((await contentsOf(pouch)).contents).toMatchObject([{ name: 'Card', isStray: false }]);
  const { homes } = await homesOf(left, 'only=missing');
  expect(homes.map(({ name, here, elsewhere }) => [name, here, elsewhere])).toEqual([
    ['Lens', 0, [{ placeId: right, number: 1 }]],
    ['Never seen', 0, []],
  ]);
  // From the vehicle's side the lens is aboard.
  expect((await homesOf(car, 'reach=inside&only=missing')).homes).toMatchObject([{ name: 'Never seen' }]);
  expect((await service.ask('GET', `/api/places/${left}/sums`)).body).toEqual({
    ...{ here: 1, open: 0, stray: 0, lives: 4, missing: 2 },
  });
});

test('counted gear is missing by number, and says where the rest is', async () => {
  const box = await makePlace(service, { name: 'Battery box' });
  const [hide, inn] = [
    await makePlace(service, { kind: 'location' }),
    await makePlace(service, { kind: 'hotel' }),
  ];
  await makeCounted('Battery', { [box]: 5, [hide]: 1, [inn]: 2 }, [home(box, 8)]);
  expect((await homesOf(box, 'only=missing')).homes).toMatchObject([
    {
      ...{ name: 'Battery', lives: 8, here: 5 },
      elsewhere: [
        { placeId: inn, number: 2 },
        { placeId: hide, number: 1 },
      ],
    },
  ]);
});

test.each(['contents', 'homes', 'sums'])(
  'the %s of a place that is not there are not found',
  async (list) => {
    expect((await service.ask('GET', `/api/places/${randomUUID()}/${list}`)).status).toBe(404);
    expect((await service.ask('GET', `/api/places/x/${list}`)).status).toBe(400);
  },
);

test.each(['skip=-1', 'limit=0', 'limit=501', 'reach=everywhere', 'only=blue', 'colour=red', 'text=%00'])(
  'a question that cannot be meant is refused: %s',
  async (query) => {
    const id = await makePlace(service);
    expect((await service.ask('GET', `/api/places/${id}/contents?${query}`)).status).toBe(400);
  },
);
