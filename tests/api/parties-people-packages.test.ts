// Parties, people, packages and sundries over HTTP.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
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

const party = {
  name: 'Fen Rentals',
  role: 'rental-house',
  contact: 'Ida Moor',
  email: 'ida@fen.example',
  phone: null,
  address: null,
  note: null,
};

test('a party is entered and edited, and is a place where things can be', async () => {
  const made = await service.ask('POST', '/api/parties', party);
  expect(made).toMatchObject({ status: 201, body: { ...party, version: 1 } });
  const id = String(made.body.id);
  const edited = await service.ask('PUT', `/api/parties/${id}`, { ...party, name: 'Fen Hire' }, ifMatch(1));
  expect(edited).toMatchObject({ status: 200, body: { name: 'Fen Hire', version: 2 } });
  expect((await service.ask('GET', `/api/places/${id}`)).body).toMatchObject({
    kind: 'party',
    name: 'Fen Hire',
  });
  expect(await changesOf(service, id)).toEqual(['place', 'place']);
  expect(faultOf(await service.ask('PUT', `/api/parties/${id}`, party, ifMatch(1))).status).toBe(412);
});

test('a party’s name is not changed behind its back as a place', async () => {
  const { body } = await service.ask('POST', '/api/parties', party);
  const place = {
    kind: 'party',
    name: 'Else',
    parentId: null,
    sort: 0,
    zone: null,
    address: null,
    note: null,
  };
  const reply = await service.ask('PUT', `/api/places/${body.id}`, place, ifMatch(1));
  expect(faultOf(reply)).toEqual({ status: 422, type: '/problems/contradiction', pointers: ['/name'] });
});

test('a place that is no party is no party, and its id is taken', async () => {
  const store = await makePlace(service);
  expect((await service.ask('GET', `/api/parties/${store}`)).status).toBe(404);
  expect((await service.ask('PUT', `/api/parties/${store}`, party, ifMatch(1))).status).toBe(404);
  expect(faultOf(await service.ask('PUT', `/api/parties/${store}`, party))).toMatchObject({
    status: 409,
    type: '/problems/id-reused',
  });
});

test('a person is entered, edited and listed', async () => {
  const made = await service.ask('POST', '/api/people', { name: 'Runa Sedge', role: 'crew' });
  const id = String(made.body.id);
  const edited = await service.ask(
    'PUT',
    `/api/people/${id}`,
    { name: 'Runa Sedge', role: 'owner' },
    ifMatch(1),
  );
  expect(edited.body).toEqual({ id, name: 'Runa Sedge', role: 'owner', version: 2 });
  expect((await service.ask('GET', '/api/people')).body.people).toContainEqual(edited.body);
  expect(await changesOf(service, id)).toEqual(['person', 'person']);
  expect(faultOf(await service.ask('POST', '/api/people', { name: 'X', role: 'boss' })).pointers).toEqual([
    '/role',
  ]);
  expect(
    faultOf(await service.ask('POST', '/api/people', { name: 'X', role: 'crew', age: 3 })).pointers,
  ).toEqual(['/age']);
});

async function makeClass(): Promise<string> {
  const name = `Class ${randomUUID()}`;
  const rest = { parentId: null, check: 'seen', forgotten: 0, essential: false, lifeMonths: null };
  const reply = await service.ask('POST', '/api/classes', {
    name,
    ...rest,
    residualPermille: null,
    needs: [],
  });
  return String(reply.body.id);
}

test('a package keeps its lines in packing order, and an edit replaces them', async () => {
  const [thingId, classId] = [await makeItem(service), await makeClass()];
  const lines = [
    { thingId, classId: null, number: 1, spares: 0 },
    { thingId: null, classId, number: 3, spares: 1 },
  ];
  const made = await service.ask('POST', '/api/packages', { name: 'Boat day', note: null, lines });
  expect(made).toMatchObject({ status: 201, body: { lines } });
  const path = `/api/packages/${made.body.id}`;
  const turned = { name: 'Boat day', note: 'waders', lines: [...lines].reverse() };
  expect((await service.ask('PUT', path, turned, ifMatch(1))).body).toMatchObject({ ...turned, version: 2 });
  expect(faultOf(await service.ask('PUT', path, turned, ifMatch(1))).status).toBe(412);
  expect((await service.ask('PUT', path, { ...turned, lines: [] }, ifMatch(2))).body.lines).toEqual([]);
});

test('a package line wants one thing or one class, both known', async () => {
  const [thingId, classId] = [await makeItem(service), await makeClass()];
  const add = (line: unknown) =>
    service.ask('POST', '/api/packages', { name: 'P', note: null, lines: [line] });
  for (const line of [
    { thingId, classId, number: 1, spares: 0 },
    { thingId: null, classId: null, number: 1, spares: 0 },
  ])
    expect(faultOf(await add(line))).toMatchObject({ status: 422, pointers: ['/lines/0'] });
  // Each id of the other kind.
  const swapped = await add({ thingId: classId, classId: null, number: 1, spares: 0 });
  expect(faultOf(swapped)).toMatchObject({ status: 422, pointers: ['/lines/0/thingId'] });
  const other = await add({ thingId: null, classId: thingId, number: 1, spares: 0 });
  expect(faultOf(other)).toMatchObject({ status: 422, pointers: ['/lines/0/classId'] });
  const none = await add({ thingId, classId: null, number: 0, spares: 0 });
  expect(faultOf(none)).toMatchObject({ status: 400, pointers: ['/lines/0/number'] });
});

test('sundries stand for a compartment or for a class, with currency and date', async () => {
  const placeId = await makePlace(service);
  const facts = { placeId, classId: null, description: 'Loose clips', amountMinor: 5_000, currency: 'EUR' };
  const made = await service.ask('POST', '/api/sundries', { ...facts, onDate: '2026-11-01' });
  expect(made).toMatchObject({ status: 201, body: { amountMinor: 5_000, onDate: '2026-11-01' } });
  const body = { ...facts, amountMinor: 6_000, onDate: '2026-11-02' };
  const edited = await service.ask('PUT', `/api/sundries/${made.body.id}`, body, ifMatch(1));
  expect(edited.body).toMatchObject({ amountMinor: 6_000, version: 2 });
  const add = (more: object) => service.ask('POST', '/api/sundries', { ...body, ...more });
  expect(faultOf(await add({ placeId: null })).pointers).toEqual(['/placeId']);
  expect(faultOf(await add({ currency: 'ABC' })).pointers).toEqual(['/currency']);
  expect(faultOf(await add({ amountMinor: -1 })).pointers).toEqual(['/amountMinor']);
  const unknown = await add({ placeId: randomUUID() });
  expect(faultOf(unknown)).toMatchObject({ status: 422, type: '/problems/unknown-reference' });
  const place = await add({ placeId: null, classId: placeId });
  expect(faultOf(place)).toMatchObject({ status: 422, pointers: ['/classId'] });
});
