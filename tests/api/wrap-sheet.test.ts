// The wrap sheet over HTTP, and a sheet that was ticked on paper and entered later.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Count, countSchema } from '#domain/count-shape.ts';
import { factsOfPaper, type PaperTick, paperKeyOf, paperTime } from '#domain/from-paper.ts';
import { type WrapSheet, wrapSheetSchema } from '#domain/wrap-sheet.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { makePhone, type Phone, send } from './lines.ts';

// A day in the past, in a zone without summer time: it turns at 05:00 UTC.
const DAY = Date.UTC(2024, 4, 2, 5);
const HOUR = 3_600_000;
const OPENED = DAY + 12 * HOUR;
const NOW = DAY + 20 * HOUR;

let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => NOW });
  const facts = { name: 'Reed', currency: 'EUR', zone: 'UTC', units: 'metric', yearEnd: '12-31' };
  const more = { mainsVolts: 230, dayTurnsMinutes: 300, lastLook: ['Wall sockets'] };
  expect((await service.ask('PUT', '/api/outfit', { body: { ...facts, ...more } })).status).toBe(201);
});
afterAll(() => service.close());

async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await service.ask('POST', path, { body });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name: string, more = {}) => make('/api/items', { ...plainFacts, name, ...more });
const makePlace = (kind: string, name: string, parentId: string | null = null) =>
  make('/api/places', { kind, name, parentId, sort: 0, zone: null, address: null, note: null });

async function makeStop(jobId: string | null = null): Promise<string> {
  const id = randomUUID();
  const place = { id: randomUUID(), name: 'North hide', isNew: true };
  const stop = { jobId, name: 'North hide', kind: 'location', zone: 'UTC', startsAt: DAY, unnamed: false };
  expect((await service.ask('PUT', `/api/stops/${id}`, { body: { id, ...stop, place } })).status).toBe(201);
  return id;
}

/** A truck with a drawer, a lamp that went out and a borrowed lens that did not; nobody has opened the count. */
async function makeEvening() {
  const truck = await makeItem('Truck', { vehicle: true });
  const drawer = await makePlace('compartment', 'Drawer', truck);
  const hide = await makePlace('location', 'Hide');
  const [lamp, lens] = [await makeItem('Lamp'), await makeItem('Lens', { whose: 'borrowed' })];
  const stopId = await makeStop();
  const phone = makePhone();
  await send(
    service,
    [
      phone.move(DAY - 5 * HOUR, lamp, drawer, { why: 'bring-in' }),
      phone.move(DAY - 5 * HOUR + 1, lens, drawer, { why: 'bring-in' }),
      phone.move(DAY + HOUR, lamp, hide, { stopId, round: 1, spot: 'on charge' }),
    ],
    phone.clocks,
  );
  return { truck, drawer, lamp, lens, stopId, phone };
}

async function readSheet(stopId: string, query = ''): Promise<WrapSheet> {
  const reply = await service.ask('GET', `/api/counts/${stopId}/1/sheet${query}`);
  expect(reply.status, reply.text).toBe(200);
  return wrapSheetSchema.parse(reply.body);
}
async function readCount(stopId: string): Promise<Count> {
  const reply = await service.ask('GET', `/api/counts/${stopId}/1`);
  expect(reply.status, reply.text).toBe(200);
  return countSchema.parse(reply.body);
}
const open = (phone: Phone, stopId: string, vehicleId: string, at = OPENED) =>
  send(service, [phone.line(at, { kind: 'open', stopId, round: 1, vehicleId })], phone.clocks);

test('a sheet before the count names what is out and what could be lost, and opens nothing', async () => {
  const { stopId, truck } = await makeEvening();
  const sheet = await readSheet(stopId, `?vehicle=${truck}`);
  expect(sheet).toMatchObject({
    isOpened: false,
    vehicleName: 'Truck',
    madeAt: NOW,
    lastLook: ['Wall sockets'],
  });
  expect(sheet.out.rows).toMatchObject([{ name: 'Lamp', spot: 'on charge', place: 'Hide' }]);
  expect(sheet.risky.rows).toMatchObject([{ name: 'Lens', why: 'borrowed', place: 'Drawer' }]);
  expect(sheet.compartments).toMatchObject([{ name: 'Drawer', pieces: 2, open: 2 }]);
  expect((await service.ask('GET', `/api/counts/${stopId}/1`)).status).toBe(404);
});

test('a sheet of an open count is about its own vehicle, and leaves out what is answered', async () => {
  const { stopId, truck, drawer, lamp, phone } = await makeEvening();
  await open(phone, stopId, truck);
  const back = { why: 'wrap', stopId, round: 1 };
  await send(service, [phone.move(OPENED + 1, lamp, drawer, back)], phone.clocks);
  const other = await makeItem('Boat', { vehicle: true });
  const sheet = await readSheet(stopId, `?vehicle=${other}`);
  expect(sheet).toMatchObject({ isOpened: true, vehicleName: 'Truck' });
  expect(sheet.out.rows).toEqual([]);
});

test('no stop, no vehicle: it says which', async () => {
  const { stopId } = await makeEvening();
  expect((await service.ask('GET', `/api/counts/${randomUUID()}/1/sheet`)).status).toBe(404);
  const reply = await service.ask('GET', `/api/counts/${stopId}/1/sheet?vehicle=${randomUUID()}`);
  expect([reply.status, reply.body.type]).toEqual([422, '/problems/unknown-reference']);
  expect((await service.ask('GET', `/api/counts/${stopId}/0/sheet`)).status).toBe(400);
  expect((await service.ask('GET', `/api/counts/${stopId}/1/sheet?vehicle=x`)).status).toBe(400);
});

/** What the desk does with a sheet: an installation of its own, a millisecond from line to line. */
function enter(count: Count, ticks: ReadonlyMap<string, PaperTick>, at: number) {
  const facts = factsOfPaper(count, { lines: ticks, compartments: new Map() }, at);
  const sheet = makePhone();
  return send(
    service,
    facts.map((fact, index) => sheet.line(at + index, fact)),
    sheet.clocks,
  );
}
const keyOf = (count: Count, thingId: string) => {
  const line = count.lines.find((known) => known.thingId === thingId);
  if (line === undefined) throw new Error('this thing is no line of the count');
  return paperKeyOf(line);
};

test('ticks that are entered the next day keep the time that was typed, whatever the desk wrote meanwhile', async () => {
  const { stopId, truck, lamp, lens, drawer, phone } = await makeEvening();
  await open(phone, stopId, truck);
  // The phone that wrote before, and after: numbers of one installation only ever rise in time.
  await send(service, [phone.move(NOW - HOUR, lens, drawer, { why: 'tidy' })], phone.clocks);
  const count = await readCount(stopId);
  const typed = OPENED + HOUR;
  expect(paperTime(typed, { openedAt: count.openedAt, now: NOW })).toEqual({ at: typed });
  const ticks = new Map<string, PaperTick>([
    [keyOf(count, lamp), { said: 'here' }],
    [keyOf(count, lens), { said: 'here' }],
  ]);
  expect(await enter(count, ticks, typed)).toMatchObject([
    { answer: 'recorded', at: typed, timeUncertain: false },
    { answer: 'recorded', at: typed + 1, timeUncertain: false },
  ]);
  const after = (await readCount(stopId)).lines.find(({ thingId }) => thingId === lamp);
  expect(after).toMatchObject({ state: 'aboard', said: { said: 'on-paper', at: typed } });
  // What was written later on another device is still the last word on where the lens is.
  const history = await service.ask('GET', `/api/things/${lens}/history`);
  expect(history.body).toMatchObject({ movements: [{ at: NOW - HOUR }, { at: typed + 1 }, {}] });
});

test('on one installation the same lines would have been pushed behind its last one', async () => {
  const { stopId, truck, drawer, lamp, phone } = await makeEvening();
  await open(phone, stopId, truck);
  const back = { why: 'wrap', stopId, round: 1, check: 'on-paper' };
  const [pushed] = await send(service, [phone.move(OPENED - HOUR, lamp, drawer, back)], phone.clocks);
  expect(pushed).toMatchObject({ answer: 'recorded', timeUncertain: true });
  expect(pushed !== undefined && 'at' in pushed ? pushed.at : 0).toBeGreaterThan(OPENED);
});

test('nothing asks to be answered for on paper: a thing or a class that does is refused', async () => {
  const asked = await service.ask('POST', '/api/items', {
    body: { ...plainFacts, name: 'A', check: 'on-paper' },
  });
  expect([asked.status, asked.body.type]).toEqual([400, '/problems/invalid-request']);
});

test('counts are listed of one stop, or of one job', async () => {
  const facts = { name: 'Bittern', partyId: null, startsOn: null, endsOn: null, note: null };
  const job = await make('/api/jobs', facts);
  const { truck, phone } = await makeEvening();
  const [ofJob, other] = [await makeStop(job), await makeStop()];
  await open(phone, ofJob, truck);
  await open(phone, other, truck, OPENED + HOUR);
  const stopsOf = async (query: string) => {
    const { body } = await service.ask('GET', `/api/counts?${query}`);
    return Array.isArray(body.counts) ? body.counts.map((count: { stopId: string }) => count.stopId) : [];
  };
  expect(await stopsOf(`job=${job}`)).toEqual([ofJob]);
  expect(await stopsOf(`stop=${other}`)).toEqual([other]);
  expect(await stopsOf(`job=${job}&stop=${other}`)).toEqual([]);
});
