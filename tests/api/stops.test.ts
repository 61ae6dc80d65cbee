// Stops and jobs over HTTP.
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeUuidV7 } from '#domain/ids.ts';
import {
  changesOf,
  faultOf,
  ifMatch,
  makeItem,
  makePlace,
  type RecordService,
  startRecord,
} from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const START = Date.UTC(2026, 10, 25, 18);

function newStop(more: Record<string, unknown> = {}) {
  const place = { id: randomUUID(), name: 'New stop', isNew: true };
  const facts = { jobId: null, name: 'New stop', kind: 'location', zone: 'Europe/Lisbon', startsAt: START };
  return { id: randomUUID(), ...facts, unnamed: true, place, ...more };
}
const put = (stop: { id: string }) => service.ask('PUT', `/api/stops/${stop.id}`, stop);

test('a stop made in one tap brings its place along, and the same again is a repeat', async () => {
  const stop = newStop();
  const made = await put(stop);
  expect(made).toMatchObject({ status: 201, body: { placeId: stop.place.id, unnamed: true, version: 1 } });
  expect(made.headers.get('etag')).toBe('"1"');
  expect((await put(stop)).status).toBe(200);
  const place = await service.ask('GET', `/api/places/${stop.place.id}`);
  expect(place.body).toMatchObject({
    kind: 'location',
    name: 'New stop',
    unnamed: true,
    zone: 'Europe/Lisbon',
  });
  expect(await changesOf(service, stop.id)).toEqual(['stop']);
  expect(await changesOf(service, stop.place.id)).toEqual(['place']);
});

test('two deliveries at once make one stop', async () => {
  const stop = newStop();
  const replies = await Promise.all([put(stop), put(stop), put(stop)]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 200, 201]);
});

test('the same id with other content is refused and changes nothing', async () => {
  const stop = newStop();
  await put(stop);
  const other = { ...stop, startsAt: START + 1, place: { ...stop.place, id: randomUUID() } };
  expect(faultOf(await put(other))).toMatchObject({ status: 409, type: '/problems/id-reused' });
  expect((await service.ask('GET', `/api/places/${other.place.id}`)).status).toBe(404);
});

test('two stops of one evening may bring the same new place', async () => {
  const first = newStop();
  await put(first);
  expect((await put(newStop({ place: first.place }))).status).toBe(201);
});

test('naming a stop names the place that came along with it, and the repeat from the phone stays harmless', async () => {
  const stop = newStop();
  await put(stop);
  const path = `/api/stops/${stop.id}`;
  const named = await service.ask('PATCH', path, { name: 'Heron hide' }, ifMatch(1));
  expect(named).toMatchObject({ status: 200, body: { name: 'Heron hide', unnamed: false, version: 2 } });
  expect((await service.ask('GET', `/api/places/${stop.place.id}`)).body).toMatchObject({
    name: 'Heron hide',
    unnamed: false,
  });
  expect(await put(stop)).toMatchObject({ status: 200, body: { name: 'Heron hide' } });
});

test('a stop at a place that is known leaves that place’s name alone', async () => {
  const id = await makePlace(service, { kind: 'location', name: 'Old weir' });
  const stop = newStop({ place: { id, name: 'Old weir', isNew: false } });
  expect((await put(stop)).status).toBe(201);
  await service.ask('PATCH', `/api/stops/${stop.id}`, { name: 'Weir by night' }, ifMatch(1));
  expect((await service.ask('GET', `/api/places/${id}`)).body.name).toBe('Old weir');
});

test('a stop ends, is booked on a job, and what is left out stays', async () => {
  const job = await service.ask('POST', '/api/jobs', { ...plainJob, name: 'Reed beds' });
  const stop = newStop();
  await put(stop);
  const path = `/api/stops/${stop.id}`;
  await service.ask('PATCH', path, { jobId: job.body.id }, ifMatch(1));
  const ended = await service.ask('PATCH', path, { endsAt: START + 3_600_000 }, ifMatch(2));
  expect(ended.body).toMatchObject({ jobName: 'Reed beds', endsAt: START + 3_600_000, unnamed: true });
  expect((await service.ask('PATCH', path, { endsAt: null, jobId: null }, ifMatch(3))).body).toMatchObject({
    jobId: null,
    endsAt: null,
  });
});

test('editing a stop needs the version that was read', async () => {
  const stop = newStop();
  await put(stop);
  const path = `/api/stops/${stop.id}`;
  expect(faultOf(await service.ask('PATCH', path, { name: 'A' }))).toMatchObject({ status: 428 });
  expect((await service.ask('PATCH', path, { name: 'A' }, ifMatch(1))).status).toBe(200);
  expect(faultOf(await service.ask('PATCH', path, { name: 'B' }, ifMatch(1)))).toMatchObject({ status: 412 });
  const nowhere = `/api/stops/${randomUUID()}`;
  expect((await service.ask('PATCH', nowhere, { name: 'B' }, ifMatch(1))).status).toBe(404);
});

test('a stop that ends before it began, or on a job that is none, is refused', async () => {
  const stop = newStop();
  await put(stop);
  const path = `/api/stops/${stop.id}`;
  const early = await service.ask('PATCH', path, { endsAt: START - 1 }, ifMatch(1));
  expect(faultOf(early)).toEqual({ status: 422, type: '/problems/contradiction', pointers: ['/endsAt'] });
  const jobless = await service.ask('PATCH', path, { jobId: stop.id }, ifMatch(1));
  expect(faultOf(jobless)).toEqual({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/jobId'],
  });
});

test('a new stop names what is wrong with it', async () => {
  expect(faultOf(await put(newStop({ zone: 'Atlantis/Deep' }))).pointers).toEqual(['/zone']);
  expect(faultOf(await put(newStop({ jobId: randomUUID() }))).pointers).toEqual(['/jobId']);
  const unknown = newStop({ place: { id: randomUUID(), name: 'X', isNew: false } });
  expect(faultOf(await put(unknown))).toMatchObject({ status: 422, pointers: ['/place/id'] });
  const box = await makeItem(service, { container: true });
  const moving = newStop({ place: { id: box, name: 'Box', isNew: true } });
  expect(faultOf(await put(moving))).toMatchObject({ status: 422, pointers: ['/place/id'] });
  const elsewhere = await service.ask('PUT', `/api/stops/${randomUUID()}`, newStop());
  expect(faultOf(elsewhere)).toMatchObject({ status: 422, pointers: ['/id'] });
});

test.each([
  ['an unknown field', { colour: 'red' }, '/colour'],
  ['a start that is a text', { startsAt: 'tonight' }, '/startsAt'],
  ['a start before time', { startsAt: -1 }, '/startsAt'],
  ['a NUL', { name: 'a\u0000' }, '/name'],
  ['a store', { kind: 'store' }, '/kind'],
  ['no place', { place: null }, '/place'],
])('%s is refused by name', async (_what, wrong, pointer) => {
  expect(faultOf(await put(newStop(wrong)))).toMatchObject({ status: 400, pointers: [pointer] });
});

test('stops are listed the latest first, in pages, and by job', async () => {
  const job = String((await service.ask('POST', '/api/jobs', plainJob)).body.id);
  const stops = [3, 1, 2].map((hour) => newStop({ jobId: job, startsAt: START + hour }));
  for (const stop of stops) await put(stop);
  const first = await service.ask('GET', `/api/stops?job=${job}&limit=2`);
  const rest = await service.ask('GET', `/api/stops?job=${job}&limit=2&after=${first.body.next}`);
  const all = [first, rest].flatMap(({ body }) => (Array.isArray(body.stops) ? body.stops : []));
  expect(all.map((stop: { startsAt: number }) => stop.startsAt - START)).toEqual([3, 2, 1]);
  expect(rest.body.next).toBeNull();
});

const plainJob = { name: 'Job', partyId: null, startsOn: null, endsOn: null, note: null };

test('a job is entered for a client, renamed, and its stops are read with the new name', async () => {
  const party = {
    name: 'Marsh Trust',
    role: 'client',
    contact: null,
    email: null,
    phone: null,
    address: null,
    note: null,
  };
  const client = await service.ask('POST', '/api/parties', party);
  const facts = { ...plainJob, partyId: client.body.id, startsOn: '2026-11-20', endsOn: '2026-11-27' };
  const job = await service.ask('POST', '/api/jobs', facts);
  expect(job.status).toBe(201);
  const stop = newStop({ jobId: job.body.id });
  await put(stop);
  const renamed = await service.ask(
    'PUT',
    `/api/jobs/${job.body.id}`,
    { ...facts, name: 'Otters' },
    ifMatch(1),
  );
  expect(renamed.status).toBe(200);
  expect((await service.ask('GET', `/api/stops/${stop.id}`)).body.jobName).toBe('Otters');
  expect(await changesOf(service, stop.id)).toEqual(['stop', 'stop']);
});

test('a job that ends before it begins, or for a client who is none, is refused', async () => {
  const backwards = { ...plainJob, startsOn: '2026-11-27', endsOn: '2026-11-20' };
  expect(faultOf(await service.ask('POST', '/api/jobs', backwards)).pointers).toEqual(['/endsOn']);
  const store = await makePlace(service);
  const nobody = { ...plainJob, partyId: store };
  expect(faultOf(await service.ask('POST', '/api/jobs', nobody))).toMatchObject({
    status: 422,
    pointers: ['/partyId'],
  });
});

test('a stop that nobody spoke of yet may still move, in place, zone and time', async () => {
  const stop = newStop();
  await put(stop);
  const weir = await makePlace(service, { kind: 'location', name: 'Upper weir' });
  const edit = { placeId: weir, zone: 'Asia/Kolkata', startsAt: START - 3_600_000, kind: 'hotel' };
  const moved = await service.ask('PATCH', `/api/stops/${stop.id}`, edit, ifMatch(1));
  expect(moved).toMatchObject({ status: 200, body: edit });
});

test('once the ledger speaks of a stop, its place and zone stay; its times and its name do not', async () => {
  const stop = newStop();
  await put(stop);
  const [thingId, weir] = [await makeItem(service, {}), await makePlace(service, { kind: 'location' })];
  const stamp = {
    id: makeUuidV7(START, randomBytes(16)),
    deviceId: randomUUID(),
    deviceNo: 1,
    deviceAt: START,
  };
  const line = { kind: 'move', ...stamp, clockRun: randomUUID(), personId: null, stopId: stop.id, round: 1 };
  const said = { note: null, check: 'scanned', why: 'load-in', spot: null, code: null, sealUnbroken: false };
  const written = await service.ask('POST', '/api/movements', {
    clocks: [],
    movements: [{ ...line, ...said, thingId, toId: stop.place.id }],
  });
  expect(written.body).toMatchObject({ answers: [{ answer: 'recorded' }] });
  const path = `/api/stops/${stop.id}`;
  const edit = { placeId: weir, zone: 'Asia/Kolkata', name: 'Weir' };
  expect(faultOf(await service.ask('PATCH', path, edit, ifMatch(1)))).toMatchObject({
    status: 422,
    pointers: ['/zone', '/placeId'],
  });
  const same = { placeId: stop.place.id, zone: 'Europe/Lisbon', startsAt: START - 60_000, name: 'Weir' };
  expect((await service.ask('PATCH', path, same, ifMatch(1))).body).toMatchObject({ name: 'Weir' });
});

test('a stop that is moved names what is wrong with where', async () => {
  const stop = newStop();
  await put(stop);
  const path = `/api/stops/${stop.id}`;
  const edit = (facts: object) => service.ask('PATCH', path, facts, ifMatch(1));
  expect(faultOf(await edit({ zone: 'Atlantis/Deep' })).pointers).toEqual(['/zone']);
  expect(faultOf(await edit({ placeId: randomUUID() }))).toMatchObject({
    status: 422,
    pointers: ['/placeId'],
  });
  const box = await makeItem(service, { container: true });
  expect(faultOf(await edit({ placeId: box })).pointers).toEqual(['/placeId']);
  await service.ask('PATCH', path, { endsAt: START + 60_000 }, ifMatch(1));
  const late = await service.ask('PATCH', path, { startsAt: START + 120_000 }, ifMatch(2));
  expect(faultOf(late).pointers).toEqual(['/endsAt']);
});
