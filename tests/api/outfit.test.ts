// The outfit over HTTP, on an empty database and later.
import { afterAll, beforeAll, expect, test } from 'vitest';
import { faultOf, ifMatch, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const facts = {
  name: 'Two Herons Film',
  currency: 'EUR',
  zone: 'Europe/Lisbon',
  units: 'metric',
  yearEnd: '12-31',
  mainsVolts: 230,
  dayTurnsMinutes: 300,
  lastLook: ['wall sockets', 'bathroom'],
};
const put = (more: object, headers?: Record<string, string>) =>
  service.ask('PUT', '/api/outfit', { ...facts, ...more }, headers);

// One story in one test: there is one outfit in a database.
test('the outfit is named once on an empty database, and edited under its version afterwards', async () => {
  expect(faultOf(await service.ask('GET', '/api/outfit'))).toMatchObject({
    status: 404,
    type: '/problems/no-outfit',
  });
  expect(faultOf(await put({}, ifMatch(1)))).toMatchObject({ status: 404, type: '/problems/no-outfit' });
  const replies = await Promise.all([put({}), put({})]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 201]);
  expect((await service.ask('GET', '/api/outfit')).body).toEqual({ ...facts, demo: false, version: 1 });
  expect(faultOf(await put({ name: 'Other' }))).toMatchObject({ status: 428 });
  const edited = await put({ name: 'Three Herons Film', lastLook: [] }, ifMatch(1));
  expect(edited).toMatchObject({ status: 200, body: { name: 'Three Herons Film', version: 2 } });
  expect(faultOf(await put({}, ifMatch(1)))).toMatchObject({ status: 412, type: '/problems/version-moved' });
});

test.each([
  [{ currency: 'ABC' }, 422, '/currency'],
  [{ currency: 'eur' }, 400, '/currency'],
  [{ zone: 'Atlantis' }, 422, '/zone'],
  [{ zone: '+01:00' }, 422, '/zone'],
  [{ yearEnd: '02-30' }, 422, '/yearEnd'],
  [{ yearEnd: '13-01' }, 400, '/yearEnd'],
  [{ name: '' }, 400, '/name'],
  [{ name: 'a\u0000' }, 400, '/name'],
  [{ mainsVolts: '230' }, 400, '/mainsVolts'],
  [{ lastLook: ['x\u0000'] }, 400, '/lastLook/0'],
  [{ demo: true }, 400, '/demo'],
])('%j is refused by name', async (wrong, status, pointer) => {
  expect(faultOf(await put(wrong))).toMatchObject({ status, pointers: [pointer] });
});
