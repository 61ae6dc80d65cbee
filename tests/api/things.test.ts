// Items, counted gear and consumables over HTTP.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { plainFacts } from './facts.ts';
import {
  changesOf,
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

test('an item is entered, read, edited and read again', async () => {
  const made = await service.ask('POST', '/api/items', { ...plainFacts, name: 'Heron lens', serial: 'H-1' });
  expect(made.status).toBe(201);
  expect(made.headers.get('etag')).toBe('"1"');
  expect(made.headers.get('location')).toBe(`/api/items/${made.body.id}`);
  const path = `/api/items/${made.body.id}`;
  expect((await service.ask('GET', path)).body).toEqual(made.body);
  const edited = await service.ask('PUT', path, { ...plainFacts, name: 'Heron lens 85' }, ifMatch(1));
  expect(edited.status).toBe(200);
  expect(edited.body).toMatchObject({ name: 'Heron lens 85', serial: null, version: 2 });
  expect((await service.ask('GET', `/api/things/${made.body.id}`)).body).toEqual(edited.body);
  expect(await changesOf(service, String(made.body.id))).toEqual(['thing', 'thing']);
});

test('of two editors who read the same version the second is told, and nothing of the first is lost', async () => {
  const id = await makeItem(service, { name: 'Contested lamp' });
  const first = await service.ask('PUT', `/api/items/${id}`, { ...plainFacts, name: 'First' }, ifMatch(1));
  const second = await service.ask('PUT', `/api/items/${id}`, { ...plainFacts, name: 'Second' }, ifMatch(1));
  expect(first.status).toBe(200);
  expect(faultOf(second)).toMatchObject({ status: 412, type: '/problems/version-moved' });
  expect(second.headers.get('etag')).toBe('"2"');
  expect((await service.ask('GET', `/api/items/${id}`)).body.name).toBe('First');
});

test('editors at the very same moment: one wins, the other is told', async () => {
  const id = await makeItem(service);
  const replies = await Promise.all(
    ['A', 'B', 'C'].map((name) =>
      service.ask('PUT', `/api/items/${id}`, { ...plainFacts, name }, ifMatch(1)),
    ),
  );
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 412, 412]);
});

test('an id of one’s own makes a repeat harmless, also two at once', async () => {
  const path = `/api/things/${randomUUID()}`;
  const body = { ...plainFacts, kind: 'item', name: 'Sent twice' };
  const replies = await Promise.all([service.ask('PUT', path, body), service.ask('PUT', path, body)]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 201]);
  expect((await service.ask('PUT', path, body)).status).toBe(200);
  const other = await service.ask('PUT', path, { ...body, name: 'Something else' });
  expect(faultOf(other)).toMatchObject({ status: 409, type: '/problems/id-reused' });
});

test('a repeat that comes after an edit gets the record as it is and sets nothing back', async () => {
  const path = `/api/things/${randomUUID()}`;
  const body = { ...plainFacts, kind: 'item', name: 'As the phone said' };
  await service.ask('PUT', path, body);
  await service.ask('PUT', path, { ...body, name: 'As the desk said' }, ifMatch(1));
  const repeat = await service.ask('PUT', path, body);
  expect(repeat).toMatchObject({ status: 200, body: { name: 'As the desk said', version: 2 } });
});

test('homes in another order are the same homes', async () => {
  const [a, b] = [await makePlace(service), await makePlace(service)];
  const homes = [a, b].map((placeId) => ({ way: 'driving', placeId, number: 5 }));
  const path = `/api/things/${randomUUID()}`;
  const body = { ...plainFacts, kind: 'counted', homes };
  expect((await service.ask('PUT', path, body)).status).toBe(201);
  expect((await service.ask('PUT', path, { ...body, homes: [...homes].reverse() })).status).toBe(200);
});

test('each kind has an address of its own, and a thing of another kind is not there', async () => {
  const counted = await service.ask('POST', '/api/counted-gear', { ...plainFacts, name: 'Sand bag' });
  const used = await service.ask('POST', '/api/consumables', {
    ...plainFacts,
    name: 'Tape',
    unit: 'roll',
    par: 6,
  });
  expect([counted.body.kind, used.body.kind]).toEqual(['counted', 'consumable']);
  expect((await service.ask('GET', `/api/items/${counted.body.id}`)).status).toBe(404);
  expect((await service.ask('GET', `/api/consumables/${used.body.id}`)).status).toBe(200);
  const over = await service.ask('PUT', `/api/items/${counted.body.id}`, plainFacts);
  expect(faultOf(over)).toMatchObject({ status: 409, type: '/problems/id-reused' });
  const edit = await service.ask('PUT', `/api/items/${counted.body.id}`, plainFacts, ifMatch(1));
  expect(edit.status).toBe(404);
  const changed = { ...plainFacts, kind: 'item' };
  expect(faultOf(await service.ask('PUT', `/api/things/${counted.body.id}`, changed, ifMatch(1)))).toEqual({
    status: 422,
    type: '/problems/contradiction',
    pointers: ['/kind'],
  });
});

test('facts that cannot be true together are named, all at once', async () => {
  const place = await makePlace(service);
  const reply = await service.ask('POST', '/api/counted-gear', {
    ...plainFacts,
    container: true,
    feeMinor: 100,
    purchaseMinor: 100,
    whoseFrom: '2026-05-02',
    whoseUntil: '2026-05-01',
    ownerPlaceId: place,
    wattHours: 1.234,
    homes: [
      { way: 'driving', placeId: place, number: 1 },
      { way: 'driving', placeId: place, number: 2 },
    ],
  });
  expect(faultOf(reply)).toEqual({
    status: 422,
    type: '/problems/contradiction',
    pointers: [
      '/feePer',
      '/purchaseCurrency',
      '/whoseUntil',
      '/ownerPlaceId',
      '/homes/1/placeId',
      '/container',
      '/wattHours',
    ],
  });
});

test('what is named and not known is named back, ids of other kinds too', async () => {
  const place = await makePlace(service);
  const item = await makeItem(service);
  const reply = await service.ask('POST', '/api/items', {
    ...plainFacts,
    whose: 'borrowed',
    classId: place,
    ownerPlaceId: place,
    builtOnId: place,
    homes: [{ way: 'flying', placeId: item, number: 1 }],
  });
  expect(faultOf(reply)).toEqual({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/classId', '/ownerPlaceId', '/builtOnId', '/homes/0/placeId'],
  });
});

test('a currency that ISO 4217 does not list is refused', async () => {
  const reply = await service.ask('POST', '/api/items', {
    ...plainFacts,
    purchaseMinor: 1,
    purchaseCurrency: 'ABC',
  });
  expect(faultOf(reply).pointers).toEqual(['/purchaseCurrency']);
});

test('nothing is built on itself, directly or through others', async () => {
  const camera = await makeItem(service, { name: 'Camera' });
  const plate = await makeItem(service, { name: 'Plate', builtOnId: camera });
  const battery = await makeItem(service, { name: 'Battery', builtOnId: plate });
  for (const builtOnId of [camera, battery]) {
    const body = { ...plainFacts, name: 'Camera', builtOnId };
    const reply = await service.ask('PUT', `/api/items/${camera}`, body, ifMatch(1));
    expect(faultOf(reply)).toMatchObject({ status: 422, type: '/problems/inside-itself' });
  }
});

test('two editors who build two things on each other at once make no loop', async () => {
  const [a, b] = [await makeItem(service), await makeItem(service)];
  const build = (id: string, builtOnId: string) =>
    service.ask('PUT', `/api/items/${id}`, { ...plainFacts, builtOnId }, ifMatch(1));
  const replies = await Promise.all([build(a, b), build(b, a)]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 422]);
});

test('a container is a place under the same id, renamed with it', async () => {
  const id = await makeItem(service, { name: 'Lens case', container: true });
  expect((await service.ask('GET', `/api/places/${id}`)).body).toMatchObject({
    kind: 'container',
    name: 'Lens case',
    thingId: id,
    parentId: null,
  });
  const body = { ...plainFacts, name: 'Long lens case', container: true };
  await service.ask('PUT', `/api/items/${id}`, body, ifMatch(1));
  expect((await service.ask('GET', `/api/places/${id}`)).body.name).toBe('Long lens case');
  expect(await changesOf(service, id)).toEqual(expect.arrayContaining(['thing', 'place']));
});

test('a vehicle is an item and a place that moves', async () => {
  const reply = await service.ask('POST', '/api/items', {
    ...plainFacts,
    name: 'Marsh truck',
    vehicle: true,
  });
  expect(reply.status).toBe(201);
  expect((await service.ask('GET', `/api/places/${reply.body.id}`)).body).toMatchObject({ kind: 'vehicle' });
  const both = { ...plainFacts, vehicle: true, container: true };
  expect(faultOf(await service.ask('POST', '/api/items', both)).pointers).toEqual(['/vehicle']);
  const counted = { ...plainFacts, vehicle: true };
  expect(faultOf(await service.ask('POST', '/api/counted-gear', counted)).pointers).toEqual(['/vehicle']);
});

test('an item becomes a container and stops being one only while nothing refers to its inside', async () => {
  const id = await makeItem(service, { name: 'Crate' });
  const crate = (container: boolean) => ({ ...plainFacts, name: 'Crate', container });
  expect((await service.ask('PUT', `/api/items/${id}`, crate(true), ifMatch(1))).status).toBe(200);
  expect((await service.ask('PUT', `/api/items/${id}`, crate(false), ifMatch(2))).status).toBe(200);
  expect((await service.ask('GET', `/api/places/${id}`)).status).toBe(404);
  await service.ask('PUT', `/api/items/${id}`, crate(true), ifMatch(3));
  await writeMove(service, await makeItem(service), id, 1_000);
  const reply = await service.ask('PUT', `/api/items/${id}`, crate(false), ifMatch(4));
  expect(faultOf(reply)).toMatchObject({ status: 409, type: '/problems/still-in-use' });
  expect((await service.ask('GET', `/api/items/${id}`)).body).toMatchObject({ container: true, version: 4 });
});

test('a container does not live inside itself', async () => {
  const id = await makeItem(service, { name: 'Case', container: true });
  const drawer = await makePlace(service, { kind: 'compartment', name: 'Drawer', parentId: id });
  for (const placeId of [id, drawer]) {
    const homes = [{ way: 'driving', placeId, number: 1 }];
    const body = { ...plainFacts, name: 'Case', container: true, homes };
    expect(faultOf(await service.ask('PUT', `/api/items/${id}`, body, ifMatch(1)))).toMatchObject({
      status: 422,
      type: '/problems/inside-itself',
    });
  }
});

test('an id that a place has already is refused for a container, and nothing of it stays', async () => {
  const place = await makePlace(service);
  const reply = await service.ask('PUT', `/api/items/${place}`, { ...plainFacts, container: true });
  expect(faultOf(reply)).toMatchObject({ status: 409, type: '/problems/id-reused' });
  expect((await service.ask('GET', `/api/things/${place}`)).status).toBe(404);
});

test('the list is paged in one order with nothing twice and nothing left out', async () => {
  const maker = `Pager ${randomUUID()}`;
  const ids = new Set<string>();
  for (let count = 0; count < 7; count += 1)
    ids.add(await makeItem(service, { name: count % 2 ? 'Same name' : `Name ${count}`, maker }));
  const seen: string[] = [];
  let after = '';
  for (let page = 0; page < 4; page += 1) {
    const query = new URLSearchParams({ text: maker, limit: '2', ...(after === '' ? {} : { after }) });
    const { body } = await service.ask('GET', `/api/items?${query}`);
    const items = Array.isArray(body.items) ? body.items : [];
    seen.push(...items.map((item: { id: string }) => item.id));
    after = typeof body.next === 'string' ? body.next : '';
  }
  expect(after).toBe('');
  expect(seen).toHaveLength(7);
  expect(new Set(seen)).toEqual(ids);
});

async function list(query: Record<string, string>): Promise<string[]> {
  const { status, body } = await service.ask('GET', `/api/things?${new URLSearchParams(query)}`);
  expect(status).toBe(200);
  const things = Array.isArray(body.things) ? body.things : [];
  return things.map((thing: { id: string }) => thing.id);
}

test('the list is narrowed by kind, class, whose, text and write-off', async () => {
  const top = await service.ask('POST', '/api/classes', { ...plainClass, name: 'Optics for filters' });
  const sub = await service.ask('POST', '/api/classes', {
    ...plainClass,
    name: 'Prime',
    parentId: top.body.id,
  });
  const maker = `Filterhof ${randomUUID().slice(0, 8)}`;
  const lens = await makeItem(service, { maker, classId: sub.body.id, whose: 'borrowed' });
  const other = await makeItem(service, { maker });
  const counted = (await service.ask('POST', '/api/counted-gear', { ...plainFacts, maker })).body.id;
  await service.ask('POST', '/api/write-offs', plainWriteOff(other));
  expect(await list({ class: String(top.body.id) })).toEqual([lens]);
  expect(await list({ text: maker, whose: 'borrowed' })).toEqual([lens]);
  expect(await list({ text: maker, kind: 'counted' })).toEqual([counted]);
  expect(await list({ text: maker, writtenOff: 'true' })).toEqual([other]);
  expect((await list({ text: maker, writtenOff: 'false' })).sort()).toEqual([lens, String(counted)].sort());
});

test('the list of a place holds what lies inside it, however deep, and what travels with it', async () => {
  const truck = String((await service.ask('POST', '/api/items', { ...plainFacts, vehicle: true })).body.id);
  const shelf = await makePlace(service, { kind: 'compartment', name: 'Shelf', parentId: truck });
  const yard = await makePlace(service, { name: 'Yard' });
  const box = await makeItem(service, { container: true });
  const lamp = await makeItem(service);
  await writeMove(service, truck, yard, 1);
  await writeMove(service, box, shelf, 2);
  await writeMove(service, lamp, box, 3);
  expect((await list({ place: yard })).sort()).toEqual([truck, box, lamp].sort());
  expect(await list({ place: box })).toEqual([lamp]);
});

test('containers that are said to be in each other do not hang the list', async () => {
  const [a, b] = [await makeItem(service, { container: true }), await makeItem(service, { container: true })];
  await writeMove(service, a, b, 1);
  await writeMove(service, b, a, 2);
  expect((await list({ place: a })).sort()).toEqual([a, b].sort());
});

test('replacement values are kept with date and source, and the latest is the thing’s', async () => {
  const id = await makeItem(service);
  const value = { amountMinor: 120_000, currency: 'EUR', onDate: '2026-03-01', source: 'a dealer’s list' };
  const valueId = randomUUID();
  const add = (body: unknown) => service.ask('POST', `/api/things/${id}/values`, body);
  expect((await add({ ...value, id: valueId })).status).toBe(201);
  expect((await add({ ...value, id: valueId })).status).toBe(200);
  expect(faultOf(await add({ ...value, id: valueId, amountMinor: 1 }))).toMatchObject({ status: 409 });
  expect((await add({ ...value, onDate: '2024-03-01', amountMinor: 5 })).status).toBe(201);
  expect((await service.ask('GET', `/api/things/${id}`)).body).toMatchObject({
    replacement: { minor: 120_000, currency: 'EUR' },
    version: 1,
  });
  expect((await service.ask('GET', `/api/things/${id}/values`)).body.values).toHaveLength(2);
  expect(faultOf(await add({ ...value, currency: 'ABC' })).pointers).toEqual(['/currency']);
  expect(faultOf(await add({ ...value, amountMinor: -1 }))).toMatchObject({
    status: 400,
    pointers: ['/amountMinor'],
  });
  const nowhere = await service.ask('POST', `/api/things/${randomUUID()}/values`, value);
  expect(nowhere.status).toBe(404);
});

test.each([
  ['an unknown field', { ...plainFacts, colour: 'red' }, '/colour'],
  ['no name', { ...plainFacts, name: '' }, '/name'],
  ['a name that is a number', { ...plainFacts, name: 7 }, '/name'],
  ['a NUL in the name', { ...plainFacts, name: 'a\u0000b' }, '/name'],
  ['half a character', { ...plainFacts, note: '\ud800' }, '/note'],
  ['a negative weight', { ...plainFacts, weightGrams: -1 }, '/weightGrams'],
  ['half a gram', { ...plainFacts, weightGrams: 0.5 }, '/weightGrams'],
  ['a day that does not exist', { ...plainFacts, purchasedOn: '2026-02-30' }, '/purchasedOn'],
  ['the year nought', { ...plainFacts, purchasedOn: '0000-01-01' }, '/purchasedOn'],
  ['an id that is none', { ...plainFacts, classId: 'lens' }, '/classId'],
  ['a country in lower case', { ...plainFacts, country: 'pt' }, '/country'],
  ['a missing field', { name: 'Only a name' }, '/classId'],
  ['more than a number can hold', { ...plainFacts, cycles: 1e300 }, '/cycles'],
])('%s is refused by name', async (_what, body, pointer) => {
  const reply = await service.ask('POST', '/api/items', body);
  expect(faultOf(reply)).toMatchObject({ status: 400, type: '/problems/invalid-request' });
  expect(faultOf(reply).pointers).toContain(pointer);
});

test.each([
  ['/api/items/not-an-id', 400],
  [`/api/items/${randomUUID()}`, 404],
  ['/api/items?limit=0', 400],
  ['/api/items?limit=many', 400],
  ['/api/items?after=nonsense', 400],
  ['/api/items?text=%00', 400],
  ['/api/items?class=%27', 400],
  ['/api/items?faulty=perhaps', 400],
  ['/api/items?colour=red', 400],
  [`/api/items?place=${randomUUID()}`, 200],
])('GET %s is answered %i', async (path, status) => {
  expect((await service.ask('GET', path)).status).toBe(status);
});

const plainClass = {
  name: 'Class',
  parentId: null,
  check: 'seen',
  forgotten: 0,
  essential: false,
  lifeMonths: null,
  residualPermille: null,
  needs: [],
};
const plainWriteOff = (thingId: unknown) => ({
  thingId,
  number: 1,
  onDate: '2026-11-24',
  reason: 'lost',
  note: null,
});
