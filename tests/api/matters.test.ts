// Matters to look at over HTTP: each kind as phones make it, how it is settled, and bad input.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import { leftoverIdOf } from '#domain/leftover-id.ts';
import {
  clockMatterSchema,
  codeMatterSchema,
  isOpenMatter,
  leftoverSchema,
  loopMatterSchema,
  matterSumsSchema,
  waitingGroupSchema,
} from '#domain/matter.ts';
import { plainFacts } from './facts.ts';
import { makePhone, newId, send } from './lines.ts';
import { faultOf, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
const NOW = Date.UTC(2026, 10, 25, 6);
const HOUR = 3_600_000;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const ledger = {
  ask: (method: string, path: string, sent: { body?: unknown } = {}) => service.ask(method, path, sent.body),
};
const mattersSchema = z.strictObject({
  sums: matterSumsSchema,
  waiting: z.array(waitingGroupSchema),
  codes: z.array(codeMatterSchema),
  loops: z.array(loopMatterSchema),
  clocks: z.array(clockMatterSchema),
});
async function matters() {
  const { status, body } = await service.ask('GET', '/api/matters');
  expect(status).toBe(200);
  return mattersSchema.parse(body);
}
const groupFor = async (forId: string) => (await matters()).waiting.find((group) => group.forId === forId);
const lookAt = (matter: string, ref: string, lookedAt = true) =>
  service.ask('PUT', '/api/matters/looked-at', { matter, ref, lookedAt });

test('lines that wait for one thing are one matter, and are let in when it is made', async () => {
  const phone = makePhone();
  const [thingId, shelf] = [randomUUID(), await makePlace(service, { name: 'Shelf' })];
  const lines = [
    phone.move(NOW - 2 * HOUR, thingId, shelf),
    phone.move(NOW - HOUR, thingId, shelf, { note: 'mine' }),
  ];
  await send(ledger, lines, phone.clocks);
  const group = await groupFor(thingId);
  expect(group).toMatchObject({
    ...{ waitsFor: 'thing', number: 2, isOpen: true, lookedAt: null, devices: ['Phone'] },
    ...{ firstAt: NOW - 2 * HOUR, receivedAt: NOW },
    lines: [
      { kind: 'move', at: NOW - HOUR, thingName: null, placeName: 'Shelf', note: 'mine' },
      { kind: 'move', at: NOW - 2 * HOUR, thingName: null, placeName: 'Shelf', note: null },
    ],
  });
  expect((await service.ask('PUT', `/api/items/${thingId}`, plainFacts)).status).toBe(201);
  expect(await groupFor(thingId)).toBeUndefined();
});

test('what was looked at is no longer open, is when asked for, and is again when more has come', async () => {
  const phone = makePhone();
  const [item, placeId] = [await makeItem(service), randomUUID()];
  await send(ledger, [phone.move(NOW - HOUR, item, placeId)], phone.clocks);
  const before = (await matters()).sums;
  const ref = (await groupFor(placeId))?.ref ?? '';
  expect((await lookAt('waiting', ref)).body).toEqual({ at: NOW });
  expect(await groupFor(placeId)).toMatchObject({ isOpen: false, lookedAt: NOW });
  expect((await matters()).sums).toEqual({ ...before, waiting: before.waiting - 1, open: before.open - 1 });
  expect((await lookAt('waiting', ref, false)).body).toEqual({ at: null });
  expect(await groupFor(placeId)).toMatchObject({ isOpen: true, lookedAt: null });
  expect((await service.ask('GET', '/api/matters/sums')).body).toEqual(before);
  expect([isOpenMatter(null, 5), isOpenMatter(5, 5), isOpenMatter(5, 6)]).toEqual([true, false, true]);
});

test('lines of a removed device are let in when their owner accepts them, and later ones wait again', async () => {
  const phone = makePhone();
  const [item, shelf] = [await makeItem(service), await makePlace(service)];
  await send(ledger, [phone.move(NOW - 3 * HOUR, item, shelf)], phone.clocks);
  await service.sql`update device set removed_at = ${NOW - 2 * HOUR} where id = ${phone.deviceId}`;
  const bench = await makePlace(service, { name: 'Bench' });
  const late = phone.move(NOW - HOUR, item, bench);
  expect(await send(ledger, [late], phone.clocks)).toMatchObject([{ answer: 'waiting', waitsFor: 'review' }]);
  expect(await groupFor(phone.deviceId)).toMatchObject({ waitsFor: 'review', number: 1 });
  const accept = () => service.ask('POST', `/api/matters/review/${phone.deviceId}/accept`);
  expect((await accept()).body).toEqual({ accepted: 1, waiting: 0 });
  expect((await accept()).body).toEqual({ accepted: 0, waiting: 0 });
  expect(await groupFor(phone.deviceId)).toBeUndefined();
  const [position] = await service.sql`select place_id from position where thing_id = ${item}`;
  expect(position?.place_id).toBe(bench);
  const later = phone.move(NOW - HOUR / 2, item, shelf);
  expect(await send(ledger, [later], phone.clocks)).toMatchObject([
    { answer: 'waiting', waitsFor: 'review' },
  ]);
  expect(faultOf(await service.ask('POST', `/api/matters/review/${randomUUID()}/accept`)).status).toBe(404);
});

test('a loop of cases is shown with the line that closed it, its ring, and where the case counts as being', async () => {
  const phone = makePhone();
  const shed = await makePlace(service, { name: 'Shed' });
  const long = await makeItem(service, { name: 'Long case', container: true });
  const wide = await makeItem(service, { name: 'Wide case', container: true });
  const lines = [phone.move(NOW - 3 * HOUR, long, shed), phone.move(NOW - 2.5 * HOUR, wide, shed)];
  lines.push(phone.move(NOW - 2 * HOUR, long, wide));
  const closing = phone.move(NOW - HOUR, wide, long);
  await send(ledger, [...lines, closing], phone.clocks);
  const own = (await matters()).loops.filter((loop) => loop.lineId === closing.id);
  expect(own).toMatchObject([
    {
      ...{ name: 'Wide case', toName: 'Long case', countsAtName: 'Shed', device: 'Phone', isOpen: true },
      ...{ ring: ['Wide case', 'Long case'], at: NOW - HOUR, thingId: wide },
    },
  ]);
  await lookAt('loop', closing.id);
  expect((await matters()).loops.find((loop) => loop.lineId === closing.id)?.isOpen).toBe(false);
  await send(ledger, [phone.move(NOW - HOUR / 2, wide, shed)], phone.clocks);
  expect((await matters()).loops.find((loop) => loop.thingId === wide)).toBeUndefined();
});

test('a clock that nobody measured, or that runs ahead, is shown with how far its lines were moved', async () => {
  const phone = makePhone();
  const [item, shelf] = [await makeItem(service), await makePlace(service)];
  await send(ledger, [phone.move(NOW + 5 * HOUR, item, shelf), phone.move(NOW + 6 * HOUR, item, shelf)]);
  const [run] = (await matters()).clocks.filter((clock) => clock.deviceId === phone.deviceId);
  expect(run).toMatchObject({ device: 'Phone', measured: false, number: 2, isOpen: true });
  expect(run?.offsetMs).toBeLessThanOrEqual(-5 * HOUR);
  expect((run?.lastAt ?? 0) - (run?.firstAt ?? 0)).toBe(HOUR);
  await lookAt('clock', run?.ref ?? '');
  expect((await matters()).clocks.find(({ ref }) => ref === run?.ref)?.isOpen).toBe(false);
});

test('a code that nobody knows is one matter however often it was scanned, until it is tied or taken back', async () => {
  const phone = makePhone();
  const shelf = await makePlace(service, { name: 'Shelf' });
  const [code, other] = [`X-${randomUUID()}`, `Y-${randomUUID()}`];
  const lines = [
    phone.move(NOW - 3 * HOUR, null, shelf, { code }),
    phone.move(NOW - 2 * HOUR, null, shelf, { code, note: 'grey box' }),
  ];
  const once = phone.move(NOW - HOUR, null, shelf, { code: other });
  await send(ledger, [...lines, once], phone.clocks);
  const codes = async () => (await matters()).codes.filter((known) => [code, other].includes(known.code));
  expect(await codes()).toMatchObject([
    { code: other, number: 1 },
    {
      code,
      number: 2,
      firstAt: NOW - 3 * HOUR,
      lastAt: NOW - 2 * HOUR,
      placeName: 'Shelf',
      note: 'grey box',
      device: 'Phone',
    },
  ]);
  await send(ledger, [phone.takeBack(NOW - HOUR / 2, once)], phone.clocks);
  const thingId = await makeItem(service);
  expect((await service.ask('PUT', `/api/codes/${code}`, { thingId, since: NOW - 4 * HOUR })).status).toBe(
    201,
  );
  expect(await codes()).toEqual([]);
});

test('what a phone cannot use is kept as it came, listed, and given back word for word', async () => {
  const deviceId = randomUUID();
  const text = '{"kind":"move","note":"Ünlesbar 🦆"}';
  const id = leftoverIdOf(deviceId, 'outbox 12', text);
  const facts = { deviceId, what: 'row', why: 'No longer readable: ✖ Invalid input', at: NOW - HOUR, text };
  const put = (body: unknown) => service.ask('PUT', `/api/leftovers/${id}`, body);
  expect(await put(facts)).toMatchObject({ status: 201, body: { id, receivedAt: NOW } });
  expect(await put({ ...facts, why: 'said again' })).toMatchObject({ status: 200 });
  expect(faultOf(await put({ ...facts, text: 'other' }))).toMatchObject({
    status: 409,
    type: '/problems/id-reused',
  });
  const list = async () =>
    leftoverSchema.array().parse((await service.ask('GET', '/api/leftovers?limit=500')).body.leftovers);
  expect((await list()).find((one) => one.id === id)).toMatchObject({
    ...{ deviceId, device: null, what: 'row', why: facts.why, at: NOW - HOUR, isOpen: true },
    characters: [...text].length,
  });
  const saved = await service.ask('GET', `/api/leftovers/${id}/text`);
  expect([saved.text, saved.headers.get('content-disposition')]).toEqual([
    text,
    `attachment; filename="leftover-${id}.txt"`,
  ]);
  const before = (await matters()).sums.leftovers;
  await lookAt('leftover', id);
  expect((await matters()).sums.leftovers).toBe(before - 1);
  expect((await list()).find((one) => one.id === id)?.isOpen).toBe(false);
  expect((await service.ask('GET', `/api/leftovers/${randomUUID()}/text`)).status).toBe(404);
});

test('leftovers come page by page', async () => {
  const deviceId = randomUUID();
  const ids: string[] = [randomUUID(), randomUUID(), randomUUID()];
  for (const id of ids) {
    const facts = { deviceId, what: 'stop', why: 'x', at: 0, text: id };
    expect((await service.ask('PUT', `/api/leftovers/${id}`, facts)).status).toBe(201);
  }
  const seen: string[] = [];
  for (let after = ''; ; ) {
    const { body } = await service.ask('GET', `/api/leftovers?limit=2${after}`);
    seen.push(
      ...leftoverSchema
        .array()
        .parse(body.leftovers)
        .map((one) => one.id),
    );
    if (body.next === null) break;
    after = `&after=${String(body.next)}`;
  }
  expect(seen.filter((id) => ids.includes(id)).sort()).toEqual([...ids].sort());
  expect(new Set(seen).size).toBe(seen.length);
});

test('what cannot be a leftover or a matter is refused with the field at fault, never with a fault of the service', async () => {
  const good = { deviceId: randomUUID(), what: 'row', why: 'x', at: 0, text: 'x' };
  const put = (body: unknown, id: string = randomUUID()) => service.ask('PUT', `/api/leftovers/${id}`, body);
  for (const [field, wrong] of [
    ['deviceId', 'me'],
    ['what', 'dinner'],
    ['why', '\u0000'],
    ['at', -1],
    ['at', 1.5],
    ['text', '\ud800'],
    ['text', { deep: [] }],
    ['more', 1],
  ] as const) {
    expect(faultOf(await put({ ...good, [field]: wrong }))).toMatchObject({
      status: 400,
      pointers: [`/${field}`],
    });
  }
  expect(faultOf(await put({ ...good, text: 'x'.repeat(4_000_001) }))).toMatchObject({ status: 400 });
  expect((await put(good, 'no-id')).status).toBe(400);
  expect((await service.ask('GET', '/api/leftovers?after=zzz')).status).toBe(400);
  expect((await service.ask('GET', '/api/leftovers/no-id/text')).status).toBe(400);
  expect((await service.ask('POST', '/api/matters/review/no-id/accept')).status).toBe(400);
  for (const wrong of [
    { matter: 'weather', ref: 'x', lookedAt: true },
    { matter: 'loop', ref: '', lookedAt: true },
    { matter: 'loop', ref: 'x'.repeat(401), lookedAt: true },
    { matter: 'loop', ref: 'x', lookedAt: 'yes' },
    {},
  ]) {
    expect((await service.ask('PUT', '/api/matters/looked-at', wrong)).status).toBe(400);
  }
  // A code may hold anything that a label can.
  expect((await lookAt('code', `${newId()}/'"%`)).status).toBe(200);
});
