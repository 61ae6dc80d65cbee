// Places over HTTP: the tree, what moves, and what stays where it is.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import {
  faultOf,
  ifMatch,
  makeItem,
  makePlace,
  type RecordService,
  startRecord,
  writeMove,
} from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const facts = {
  kind: 'store',
  name: 'Boathouse',
  parentId: null,
  sort: 0,
  zone: null,
  address: null,
  note: null,
};

test('a place is entered, edited under its version, and in the list', async () => {
  const id = await makePlace(service, { name: 'Reed barn', zone: 'Europe/Lisbon' });
  const edited = await service.ask(
    'PUT',
    `/api/places/${id}`,
    { ...facts, name: 'Old reed barn' },
    ifMatch(1),
  );
  expect(edited).toMatchObject({ status: 200, body: { name: 'Old reed barn', zone: null, version: 2 } });
  const stale = await service.ask('PUT', `/api/places/${id}`, facts, ifMatch(1));
  expect(faultOf(stale)).toMatchObject({ status: 412, type: '/problems/version-moved' });
  const { body } = await service.ask('GET', '/api/places?text=old%20reed&kind=store');
  expect(body.places).toMatchObject([{ id, insideId: null, things: 0 }]);
});

test('a place says what it is inside of now: its parent, or where the vehicle was put last', async () => {
  const yard = await makePlace(service, { name: 'Yard' });
  const shelf = await makePlace(service, { kind: 'compartment', name: 'Shelf', parentId: yard });
  const box = await makeItem(service, { container: true, name: 'Box' });
  await writeMove(service, box, shelf, 1);
  expect((await service.ask('GET', `/api/places/${shelf}`)).body).toMatchObject({
    insideId: yard,
    things: 1,
  });
  expect((await service.ask('GET', `/api/places/${box}`)).body).toMatchObject({
    insideId: shelf,
    parentId: null,
  });
});

test('a place is never inside itself, directly or through others', async () => {
  const top = await makePlace(service, { name: 'Top' });
  const middle = await makePlace(service, { name: 'Middle', parentId: top });
  const low = await makePlace(service, { name: 'Low', parentId: middle });
  for (const parentId of [top, low]) {
    const reply = await service.ask('PUT', `/api/places/${top}`, { ...facts, parentId }, ifMatch(1));
    expect(faultOf(reply)).toMatchObject({ status: 422, type: '/problems/inside-itself' });
  }
  const own = randomUUID();
  const born = await service.ask('PUT', `/api/places/${own}`, { ...facts, parentId: own });
  expect(faultOf(born)).toMatchObject({ status: 422, type: '/problems/inside-itself' });
});

test('two editors who hang two places below each other at once make no loop', async () => {
  const [a, b] = [await makePlace(service), await makePlace(service)];
  const hang = (id: string, parentId: string) =>
    service.ask('PUT', `/api/places/${id}`, { ...facts, parentId }, ifMatch(1));
  const replies = await Promise.all([hang(a, b), hang(b, a)]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 422]);
});

test('a place’s parent stays once the ledger refers to it or below it; its name does not', async () => {
  const barn = await makePlace(service, { name: 'Barn' });
  const other = await makePlace(service, { name: 'Other barn' });
  const shelf = await makePlace(service, { name: 'Shelf', parentId: barn });
  const board = await makePlace(service, { name: 'Board', parentId: shelf });
  const move = { ...facts, name: 'Shelf', parentId: other };
  expect((await service.ask('PUT', `/api/places/${shelf}`, move, ifMatch(1))).status).toBe(200);
  await writeMove(service, await makeItem(service), board, 1);
  const back = await service.ask('PUT', `/api/places/${shelf}`, { ...move, parentId: barn }, ifMatch(2));
  expect(faultOf(back)).toMatchObject({ status: 409, type: '/problems/parent-is-fixed' });
  const named = await service.ask('PUT', `/api/places/${shelf}`, { ...move, name: 'Top shelf' }, ifMatch(2));
  expect(named.status).toBe(200);
});

test('what moves is entered and named as an item', async () => {
  for (const kind of ['vehicle', 'container'])
    expect(faultOf(await service.ask('POST', '/api/places', { ...facts, kind }))).toMatchObject({
      status: 409,
      type: '/problems/moves-as-a-thing',
    });
  const box = await makeItem(service, { container: true, name: 'Box' });
  const yard = await makePlace(service);
  const asItIs = { ...facts, kind: 'container', name: 'Box' };
  for (const change of [{ name: 'Crate' }, { kind: 'store' }, { parentId: yard }]) {
    const reply = await service.ask('PUT', `/api/places/${box}`, { ...asItIs, ...change }, ifMatch(1));
    expect(faultOf(reply)).toMatchObject({ status: 409, type: '/problems/moves-as-a-thing' });
  }
  const noted = await service.ask(
    'PUT',
    `/api/places/${box}`,
    { ...asItIs, note: 'two latches' },
    ifMatch(1),
  );
  expect(noted).toMatchObject({ status: 200, body: { note: 'two latches' } });
});

test('parties are kept under their own address, and a compartment is inside something', async () => {
  expect(faultOf(await service.ask('POST', '/api/places', { ...facts, kind: 'party' })).pointers).toEqual([
    '/kind',
  ]);
  const loose = await service.ask('POST', '/api/places', { ...facts, kind: 'compartment' });
  expect(faultOf(loose)).toEqual({ status: 422, type: '/problems/contradiction', pointers: ['/parentId'] });
});

test('a zone that is none and a parent that is none are named', async () => {
  for (const zone of ['Mars/Olympus', '+02:00', ''])
    expect(faultOf(await service.ask('POST', '/api/places', { ...facts, zone })).pointers, zone).toEqual([
      '/zone',
    ]);
  const item = await makeItem(service);
  const reply = await service.ask('POST', '/api/places', { ...facts, parentId: item });
  expect(faultOf(reply)).toEqual({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/parentId'],
  });
});

test('a place under an id of one’s own is made once', async () => {
  const path = `/api/places/${randomUUID()}`;
  const replies = [await service.ask('PUT', path, facts), await service.ask('PUT', path, facts)];
  expect(replies.map((reply) => reply.status)).toEqual([201, 200]);
  expect((await service.ask('PUT', path, { ...facts, name: 'Else' })).status).toBe(409);
  expect((await service.ask('PUT', `/api/places/${randomUUID()}`, facts, ifMatch(1))).status).toBe(404);
});

test.each([
  ['an unknown field', { ...facts, colour: 'red' }, '/colour'],
  ['an unknown kind', { ...facts, kind: 'cupboard' }, '/kind'],
  ['a NUL', { ...facts, name: '\u0000' }, '/name'],
  ['a fraction', { ...facts, sort: 1.5 }, '/sort'],
  ['a parent that is no id', { ...facts, parentId: 12 }, '/parentId'],
])('%s is refused by name', async (_what, body, pointer) => {
  expect(faultOf(await service.ask('POST', '/api/places', body))).toMatchObject({
    status: 400,
    pointers: [pointer],
  });
});
