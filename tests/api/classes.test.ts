// The tree of classes over HTTP.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { changesOf, faultOf, ifMatch, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const facts = {
  name: 'Lens',
  parentId: null,
  check: 'seen',
  forgotten: 1,
  essential: true,
  lifeMonths: 96,
  residualPermille: 100,
  needs: ['front cap', 'rear cap'],
};
async function makeClass(more: Record<string, unknown> = {}): Promise<string> {
  const reply = await service.ask('POST', '/api/classes', {
    ...facts,
    name: `Class ${randomUUID()}`,
    ...more,
  });
  expect(reply.status, JSON.stringify(reply.body)).toBe(201);
  return String(reply.body.id);
}

test('a class is made, edited under its version, and its change is noted', async () => {
  const id = await makeClass({ name: 'Battery' });
  const edited = await service.ask(
    'PUT',
    `/api/classes/${id}`,
    { ...facts, name: 'Cell', needs: [] },
    ifMatch(1),
  );
  expect(edited).toMatchObject({ status: 200, body: { name: 'Cell', needs: [], version: 2 } });
  expect(await changesOf(service, id)).toEqual(['class', 'class']);
  const stale = await service.ask('PUT', `/api/classes/${id}`, facts, ifMatch(1));
  expect(faultOf(stale)).toMatchObject({ status: 412 });
});

test('a name stands once below one parent, also at the top, and may stand below another', async () => {
  const top = await makeClass({ name: 'Light' });
  expect(faultOf(await service.ask('POST', '/api/classes', { ...facts, name: 'Light' }))).toMatchObject({
    status: 409,
    type: '/problems/name-taken',
  });
  await makeClass({ name: 'Panel', parentId: top });
  const twin = await service.ask('POST', '/api/classes', { ...facts, name: 'Panel', parentId: top });
  expect(faultOf(twin)).toMatchObject({ status: 409, type: '/problems/name-taken' });
  await makeClass({ name: 'Panel' });
});

test('two who make the same name at once: one is told', async () => {
  const replies = await Promise.all(
    [1, 2, 3].map(() => service.ask('POST', '/api/classes', { ...facts, name: 'Raced' })),
  );
  expect(replies.map((reply) => reply.status).sort()).toEqual([201, 409, 409]);
});

test('a class is never below itself, directly, through others, or by two editors at once', async () => {
  const top = await makeClass();
  const low = await makeClass({ parentId: await makeClass({ parentId: top }) });
  for (const parentId of [top, low]) {
    const reply = await service.ask('PUT', `/api/classes/${top}`, { ...facts, parentId }, ifMatch(1));
    expect(faultOf(reply)).toMatchObject({ status: 422, type: '/problems/inside-itself' });
  }
  const [a, b] = [await makeClass(), await makeClass()];
  const hang = (id: string, parentId: string) =>
    service.ask('PUT', `/api/classes/${id}`, { ...facts, name: `Hung ${id}`, parentId }, ifMatch(1));
  const replies = await Promise.all([hang(a, b), hang(b, a)]);
  expect(replies.map((reply) => reply.status).sort()).toEqual([200, 422]);
});

test('a parent that is no class is named', async () => {
  const place = await makePlace(service);
  const reply = await service.ask('POST', '/api/classes', { ...facts, name: 'Orphan', parentId: place });
  expect(faultOf(reply)).toEqual({
    status: 422,
    type: '/problems/unknown-reference',
    pointers: ['/parentId'],
  });
});

test.each([
  [{ forgotten: 4 }, '/forgotten'],
  [{ residualPermille: 1001 }, '/residualPermille'],
  [{ check: 'guessed' }, '/check'],
  [{ needs: 'a cap' }, '/needs'],
  [{ name: 'x\u0000' }, '/name'],
  [{ colour: 'red' }, '/colour'],
])('%j is refused by name', async (wrong, pointer) => {
  const reply = await service.ask('POST', '/api/classes', { ...facts, ...wrong });
  expect(faultOf(reply)).toMatchObject({ status: 400, pointers: [pointer] });
});
