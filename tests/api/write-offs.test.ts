// Write-offs over HTTP.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { plainFacts } from './facts.ts';
import { changesOf, faultOf, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const facts = { number: 1, onDate: '2026-11-24', reason: 'lost', note: 'slid off the boat' };
const add = (body: object) => service.ask('POST', '/api/write-offs', { ...facts, ...body });

test('a written-off item says so until it is taken back', async () => {
  const thingId = await makeItem(service);
  const made = await add({ thingId });
  expect(made).toMatchObject({ status: 201, body: { ...facts, thingId, personId: null } });
  expect((await service.ask('GET', `/api/items/${thingId}`)).body).toMatchObject({
    writtenOff: true,
    version: 1,
  });
  expect((await service.ask('GET', `/api/write-offs?thing=${thingId}`)).body.writeOffs).toEqual([made.body]);
  expect((await service.ask('DELETE', `/api/write-offs/${made.body.id}`)).status).toBe(200);
  expect((await service.ask('GET', `/api/items/${thingId}`)).body.writtenOff).toBe(false);
  expect((await service.ask('DELETE', `/api/write-offs/${made.body.id}`)).status).toBe(404);
  expect(await changesOf(service, thingId)).toEqual(['thing', 'thing', 'thing']);
});

test('an item is written off once, also when two say so at once; a repeat is harmless', async () => {
  const thingId = await makeItem(service);
  const replies = await Promise.all([add({ thingId }), add({ thingId })]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([201, 409]);
  const [other, id] = [await makeItem(service), randomUUID()];
  const same = [add({ id, thingId: other }), add({ id, thingId: other })];
  expect((await Promise.all(same)).map((reply) => reply.status).sort()).toEqual([200, 201]);
  expect(faultOf(await add({ id, thingId: other, reason: 'sold' }))).toMatchObject({
    status: 409,
    type: '/problems/id-reused',
  });
});

test('so many of a counted thing are written off, again and again', async () => {
  const counted = await service.ask('POST', '/api/counted-gear', plainFacts);
  const thingId = counted.body.id;
  expect((await add({ thingId, number: 2 })).status).toBe(201);
  expect((await add({ thingId, number: 3, reason: 'destroyed' })).status).toBe(201);
  expect(faultOf(await add({ thingId: await makeItem(service), number: 2 }))).toEqual({
    status: 422,
    type: '/problems/contradiction',
    pointers: ['/number'],
  });
});

test('what is no thing is not written off', async () => {
  const place = await makePlace(service);
  expect(faultOf(await add({ thingId: place }))).toEqual({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/thingId'],
  });
  for (const wrong of [{ reason: 'bored' }, { onDate: '2026-02-30' }, { number: 0 }, { note: '\u0000' }]) {
    const reply = await add({ thingId: place, ...wrong });
    expect(faultOf(reply)).toMatchObject({ status: 400, pointers: [`/${Object.keys(wrong)[0]}`] });
  }
});
