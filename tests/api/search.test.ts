// The search over HTTP: what was just entered is found, and no question fails.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

const search = (q: string) => service.ask('GET', `/api/search?${new URLSearchParams({ q })}`);

test('a container is found once, as the thing that it is; a place as a place', async () => {
  const word = `Kranich${randomUUID().slice(0, 6)}`;
  const box = await makeItem(service, { name: `${word} box`, container: true });
  const shed = await makePlace(service, { name: `${word} shed` });
  const { body } = await search(word);
  expect(body.hits).toMatchObject([
    { match: 'beginning', thing: { id: box }, place: null },
    { match: 'beginning', thing: null, place: { id: shed } },
  ]);
});

test('no question fails', async () => {
  for (const q of ['', ' ', '%', "'", '\\', '--', 'a'.repeat(200), '🎥', '؟', '!'.repeat(50)])
    expect((await search(q)).status, q).toBe(200);
  for (const q of ['a\u0000b', 'a'.repeat(201)]) expect((await search(q)).status, q).toBe(400);
  expect((await service.ask('GET', '/api/search')).status).toBe(400);
  expect((await service.ask('GET', '/api/search?q=a&q=b')).status).toBe(400);
  expect((await service.ask('GET', '/api/search?q=%ff')).status).toBeLessThan(500);
});
