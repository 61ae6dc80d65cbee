// Still out there over HTTP: what the desk needs to act on each line, overdue things, askings and write-offs.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { outLineSchema } from '#domain/out-line.ts';
import { dateIn } from '../../api/still-out/date-in.ts';
import { plainFacts } from './facts.ts';
import { makePhone, send } from './lines.ts';
import { faultOf, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
let phone: ReturnType<typeof makePhone>;
const NOW = Date.UTC(2026, 10, 25, 6);
const HOUR = 3_600_000;

beforeAll(async () => {
  service = await startRecord();
  phone = makePhone();
  const outfit = { name: 'Two in the reeds', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric' };
  const rest = { yearEnd: '12-31', mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] };
  expect((await service.ask('PUT', '/api/outfit', { ...outfit, ...rest })).status).toBeLessThan(300);
});
afterAll(() => service.close());

async function linesOf(thingId: string) {
  const { status, body } = await service.ask('GET', '/api/still-out');
  expect(status).toBe(200);
  return outLineSchema
    .array()
    .parse(body.lines)
    .filter((line) => line.thingId === thingId);
}
const ledger = {
  ask: (method: string, path: string, sent: { body?: unknown } = {}) => service.ask(method, path, sent.body),
};
const write = (...lines: readonly unknown[]) => send(ledger, lines, phone.clocks);
const absence = (at: number, thingId: string, more: object = {}) =>
  phone.line(at, {
    ...{ kind: 'absence', thingId, toId: null, finding: 'not-found', number: null, shownId: null },
    ...more,
  });
async function makeParty(facts: object = {}): Promise<string> {
  const whole = { role: 'crew', contact: null, email: null, phone: null, address: null, note: null };
  const reply = await service.ask('POST', '/api/parties', { name: 'Ines, boat crew', ...whole, ...facts });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
async function makeCounted(facts: object = {}): Promise<string> {
  const reply = await service.ask('POST', '/api/counted-gear', { ...plainFacts, name: 'Clamp', ...facts });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}

test('a missing item comes with what tells it from another, its home, its value and who was asked last', async () => {
  const home = await makePlace(service);
  const hide = await makePlace(service, { kind: 'location', name: 'Reedbed hide' });
  const homes = [{ way: 'driving', placeId: home, number: 1 }];
  const thingId = await makeItem(service, { name: 'Charger', maker: 'Sedge', serial: 'SP-771', homes });
  const price = { amountMinor: 18_900, currency: 'EUR', onDate: '2026-11-01', source: 'shop window' };
  expect((await service.ask('POST', `/api/things/${thingId}/values`, price)).status).toBe(201);
  await write(
    phone.move(NOW - 50 * HOUR, thingId, hide, { spot: 'wall socket' }),
    absence(NOW - 49 * HOUR, thingId),
  );
  const [line] = await linesOf(thingId);
  expect(line).toMatchObject({
    ...{ why: 'not-found', placeId: hide, spot: 'wall socket', days: 2, homeId: home, present: null },
    ...{ maker: 'Sedge', model: null, serial: 'SP-771', asked: null, dueOn: null },
    value: { minor: 18_900, currency: 'EUR' },
  });
  const id = randomUUID();
  const asking = { thingId, whom: 'The hide’s warden', way: 'call', said: '', partyId: null };
  const body = { ...asking, lineId: line?.lineId };
  expect(await service.ask('PUT', `/api/askings/${id}`, body)).toMatchObject({ status: 201 });
  expect(await service.ask('PUT', `/api/askings/${id}`, body)).toMatchObject({ status: 200 });
  expect(
    faultOf(await service.ask('PUT', `/api/askings/${id}`, { ...body, whom: 'Somebody' })),
  ).toMatchObject({
    status: 409,
    type: '/problems/id-reused',
  });
  expect((await linesOf(thingId))[0]?.asked).toEqual({ at: NOW, whom: 'The hide’s warden', way: 'call' });
  const page = await service.ask('GET', `/api/askings?thing=${thingId}`);
  expect(page.body).toEqual({ askings: [{ ...body, id, at: NOW }], next: null });
});

test('askings come page by page, the latest first', async () => {
  const thingId = await makeItem(service);
  const ids = [randomUUID(), randomUUID(), randomUUID()];
  for (const id of ids) {
    const body = { thingId, whom: id, way: 'message', said: 'hello', partyId: null, lineId: null };
    expect((await service.ask('PUT', `/api/askings/${id}`, body)).status).toBe(201);
  }
  const seen: string[] = [];
  for (let after = ''; ; ) {
    const { body } = await service.ask('GET', `/api/askings?thing=${thingId}&limit=2${after}`);
    for (const asking of Array.isArray(body.askings) ? body.askings : []) seen.push(asking.id);
    if (body.next === null) break;
    after = `&after=${String(body.next)}`;
  }
  expect(seen).toEqual([...ids].sort().reverse());
});

test('a rented thing past its last day is overdue until it is with its owner; on its last day it is not', async () => {
  const owner = await makeParty({ name: 'Tern Rental', role: 'rental-house', email: 'desk@tern.example' });
  const shelf = await makePlace(service);
  const rented = { whose: 'rented-in', ownerPlaceId: owner };
  const late = await makeItem(service, { ...rented, whoseUntil: '2026-11-20' });
  const today = await makeItem(service, { ...rented, whoseUntil: '2026-11-25' });
  await write(phone.move(NOW - HOUR, late, shelf), phone.move(NOW - HOUR, today, shelf));
  expect(await linesOf(late)).toMatchObject([
    { why: 'overdue', dueOn: '2026-11-20', days: 5, placeId: shelf, ownerPlaceId: owner, number: 1 },
  ]);
  expect(await linesOf(today)).toEqual([]);
  const { body } = await service.ask('GET', '/api/still-out');
  expect(body.parties).toMatchObject([{ id: owner, email: 'desk@tern.example' }]);
  await write(phone.move(NOW - HOUR / 2, late, owner, { why: 'hand-over', check: null }));
  expect(await linesOf(late)).toEqual([]);
});

test('a thing that is missing as well as overdue is one line, with its due date', async () => {
  const thingId = await makeItem(service, { whose: 'borrowed', whoseUntil: '2026-11-01' });
  await write(absence(NOW - HOUR, thingId));
  expect(await linesOf(thingId)).toMatchObject([{ why: 'not-found', dueOn: '2026-11-01' }]);
});

test('pieces that were written off by their finding are no longer named, and are again when that is taken back', async () => {
  const shelf = await makePlace(service);
  const thingId = await makeCounted();
  const finding = absence(NOW - HOUR, thingId, { toId: shelf, number: 3 });
  await write(phone.quantity(NOW - 2 * HOUR, thingId, 5, null, shelf), finding);
  expect(await linesOf(thingId)).toMatchObject([{ number: 3, present: 2, lineId: finding.id }]);
  const facts = { thingId, number: 2, onDate: '2026-11-25', reason: 'lost', note: null, lineId: finding.id };
  const made = await service.ask('POST', '/api/write-offs', facts);
  expect(made).toMatchObject({ status: 201, body: { lineId: finding.id } });
  expect(await linesOf(thingId)).toMatchObject([{ number: 1 }]);
  expect((await service.ask('POST', '/api/write-offs', { ...facts, number: 1 })).status).toBe(201);
  expect(await linesOf(thingId)).toEqual([]);
  await service.ask('DELETE', `/api/write-offs/${String(made.body.id)}`);
  expect(await linesOf(thingId)).toMatchObject([{ number: 2 }]);
});

test('what cannot be an asking is refused with the field at fault', async () => {
  const thingId = await makeItem(service);
  const good = { thingId, whom: 'Ines', way: 'message', said: '', partyId: null, lineId: null };
  const put = (body: unknown, id: string = randomUUID()) => service.ask('PUT', `/api/askings/${id}`, body);
  for (const [field, wrong] of [
    ['whom', ''],
    ['way', 'pigeon'],
    ['said', '\u0000'],
    ['said', 'x'.repeat(4_001)],
    ['partyId', 'nobody'],
    ['lineId', 7],
    ['when', 0],
  ] as const) {
    expect(faultOf(await put({ ...good, [field]: wrong }))).toMatchObject({
      status: 400,
      pointers: [`/${field}`],
    });
  }
  expect(faultOf(await put({ ...good, thingId: randomUUID() }))).toMatchObject({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/thingId'],
  });
  expect((await put(good, 'no-id')).status).toBe(400);
  expect((await service.ask('GET', '/api/askings?after=zzz')).status).toBe(400);
  expect((await service.ask('GET', '/api/askings?limit=0')).status).toBe(400);
});

test('the date is that of the zone, on both sides of the date line', () => {
  // 10:30 UTC is the next day at UTC+14 and the day before at UTC−11 (IANA: Pacific/Kiritimati, Pacific/Pago_Pago).
  const at = Date.UTC(2026, 10, 25, 10, 30);
  expect([dateIn('Pacific/Kiritimati', at), dateIn('UTC', at), dateIn('Pacific/Pago_Pago', at)]).toEqual([
    '2026-11-26',
    '2026-11-25',
    '2026-11-24',
  ]);
});
