// Where things are to begin with, and lines of the ledger that came before what they name.
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeUuidV7 } from '#domain/ids.ts';
import { plainFacts } from './facts.ts';
import { faultOf, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

async function contentsOf(place: string): Promise<unknown> {
  return (await service.ask('GET', `/api/places/${place}/contents`)).body.contents;
}
const linesOf = (thingId: string) => service.sql`
  select kind, number, to_id as "toId", body->>'why' as why, time_uncertain as "timeUncertain" from movement
  where thing_id = ${thingId} order by at, id`;

test('an item that is entered with a place has one line that brought it there', async () => {
  const place = await makePlace(service);
  const id = await makeItem(service, { name: 'Put down', placeId: place });
  expect(await contentsOf(place)).toMatchObject([{ id, number: 1 }]);
  expect([...(await linesOf(id))]).toEqual([
    { kind: 'move', number: null, toId: place, why: 'arrival', timeUncertain: false },
  ]);
});

test('counted gear and consumables are put down by number', async () => {
  const place = await makePlace(service);
  const body = { ...plainFacts, name: 'Sand bags', placeId: place, number: 12 };
  const bags = await service.ask('POST', '/api/counted-gear', body);
  const tape = await service.ask('POST', '/api/consumables', { ...body, name: 'Tape', number: 4 });
  expect(await contentsOf(place)).toMatchObject([
    { id: bags.body.id, number: 12 },
    { id: tape.body.id, number: 4 },
  ]);
});

test('many that are entered at once are each put down once, all at certain times', async () => {
  const place = await makePlace(service);
  const ids = await Promise.all(Array.from({ length: 12 }, () => makeItem(service, { placeId: place })));
  for (const id of ids) expect([...(await linesOf(id))]).toMatchObject([{ timeUncertain: false }]);
});

test('a repeat of the request moves nothing again', async () => {
  const place = await makePlace(service);
  const id = randomUUID();
  const body = { ...plainFacts, kind: 'item', placeId: place };
  const replies = [1, 2].map(() => service.ask('PUT', `/api/things/${id}`, body));
  expect((await Promise.all(replies)).map((reply) => reply.status).sort()).toEqual([200, 201]);
  expect(await linesOf(id)).toHaveLength(1);
});

test('a place that is none, the thing itself, and more than one of an item are refused, and nothing is entered', async () => {
  const id = randomUUID();
  const put = (more: object) => service.ask('PUT', `/api/items/${id}`, { ...plainFacts, ...more });
  expect(faultOf(await put({ placeId: randomUUID() }))).toEqual({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/placeId'],
  });
  expect(faultOf(await put({ placeId: id, container: true })).type).toBe('/problems/inside-itself');
  const place = await makePlace(service);
  expect(faultOf(await put({ placeId: place, number: 2 })).pointers).toEqual(['/number']);
  expect(faultOf(await put({ placeId: place, number: 0 })).status).toBe(400);
  expect(faultOf(await put({ number: 1 })).pointers).toEqual(['/placeId']);
  expect((await service.ask('GET', `/api/things/${id}`)).status).toBe(404);
});

test('an edit does not put a thing down again: that is a movement', async () => {
  const place = await makePlace(service);
  const id = await makeItem(service);
  const body = { ...plainFacts, placeId: place };
  const reply = await service.ask('PUT', `/api/items/${id}`, body, { 'if-match': '"1"' });
  expect(faultOf(reply)).toEqual({ status: 422, type: '/problems/contradiction', pointers: ['/placeId'] });
});

test('a line that waited for a thing, its place and its stop is in the ledger as soon as all are known', async () => {
  const [thingId, placeId, stopId] = [randomUUID(), randomUUID(), randomUUID()];
  const deviceAt = Date.UTC(2026, 10, 25, 5);
  const said = { check: 'scanned', why: 'load-in', spot: null, personId: null, note: null, code: null };
  const stamp = { deviceId: randomUUID(), deviceNo: 1, deviceAt, clockRun: randomUUID() };
  const line = {
    ...{ kind: 'move', id: makeUuidV7(deviceAt, randomBytes(16)), ...stamp, ...said },
    ...{ stopId, round: 1, thingId, toId: placeId },
  };
  const clocks = [{ clockRun: stamp.clockRun, offsetMs: 0 }];
  const sent = await service.ask('POST', '/api/movements', { clocks, movements: [line] });
  expect(sent.body.answers).toMatchObject([{ answer: 'waiting', waitsFor: 'thing' }]);
  await service.ask('PUT', `/api/things/${thingId}`, { ...plainFacts, kind: 'item', name: 'Late' });
  expect(await linesOf(thingId)).toHaveLength(0);
  const place = { id: placeId, name: 'New stop', isNew: true };
  const stop = { id: stopId, jobId: null, name: 'New stop', kind: 'location', zone: 'Europe/Lisbon', place };
  const made = await service.ask('PUT', `/api/stops/${stopId}`, {
    ...stop,
    startsAt: deviceAt,
    unnamed: true,
  });
  expect(made.status).toBe(201);
  expect([...(await linesOf(thingId))]).toMatchObject([{ kind: 'move', toId: placeId }]);
  expect(await contentsOf(placeId)).toMatchObject([{ id: thingId, at: deviceAt }]);
});
