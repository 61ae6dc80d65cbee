// Pictures over HTTP: bytes there and back.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { PICTURE_BYTES_MAX } from '../../api/pictures/keep-picture.ts';
import { changesOf, faultOf, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  service = await startRecord();
});
afterAll(() => service.close());

// The first bytes of each form. Sources: ITU-T T.81 annex B; W3C PNG 5.2; RFC 9649 2.4.
const jpeg = new Uint8Array([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3]);
const png = new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 9]);
const webp = new Uint8Array([...Buffer.from('RIFF'), 4, 0, 0, 0, ...Buffer.from('WEBP'), 7]);
const put = (id: string, query: string, bytes: Uint8Array) =>
  service.ask('PUT', `/api/pictures/${id}?${query}`, bytes, { 'content-type': 'image/jpeg' });

test.each([
  ['image/jpeg', jpeg],
  ['image/png', png],
  ['image/webp', webp],
])('%s comes back byte for byte, to be kept by whoever has it', async (type, bytes) => {
  const [id, place] = [randomUUID(), await makePlace(service)];
  expect((await put(id, `place=${place}`, bytes)).status).toBe(201);
  const response = await fetch(`http://127.0.0.1:${service.port}/api/pictures/${id}`);
  expect(response.headers.get('content-type')).toBe(type);
  expect(response.headers.get('cache-control')).toContain('immutable');
  expect(new Uint8Array(await response.arrayBuffer())).toEqual(bytes);
  expect((await service.ask('GET', `/api/places/${place}`)).body.pictureIds).toEqual([id]);
  expect(await changesOf(service, place)).toEqual(['place', 'place']);
});

test('the same picture again is a repeat; other bytes under its id are refused', async () => {
  const [id, thing] = [randomUUID(), await makeItem(service)];
  expect((await put(id, `thing=${thing}`, png)).status).toBe(201);
  expect((await put(id, `thing=${thing}`, png)).status).toBe(200);
  expect(faultOf(await put(id, `thing=${thing}`, jpeg))).toMatchObject({
    status: 409,
    type: '/problems/id-reused',
  });
});

test('what is no picture is refused by how it begins, whatever it is called', async () => {
  const place = await makePlace(service);
  const texts = ['<svg xmlns="http://www.w3.org/2000/svg"/>', '<html>', 'GIF89a', 'RIFF....AVI ', ''];
  for (const text of texts)
    expect(faultOf(await put(randomUUID(), `place=${place}`, Buffer.from(text))), text).toMatchObject({
      status: 415,
      type: '/problems/not-a-picture',
    });
});

test('a picture over eight megabytes is refused, one of just eight is kept', async () => {
  const place = await makePlace(service);
  const just = new Uint8Array(PICTURE_BYTES_MAX);
  just.set(jpeg);
  expect((await put(randomUUID(), `place=${place}`, just)).status).toBe(201);
  const over = new Uint8Array(PICTURE_BYTES_MAX + 1);
  over.set(jpeg);
  expect(faultOf(await put(randomUUID(), `place=${place}`, over))).toMatchObject({ status: 413 });
});

test('a picture shows exactly one thing or place that is known', async () => {
  const [place, thing] = [await makePlace(service), await makeItem(service)];
  expect(faultOf(await put(randomUUID(), '', png)).status).toBe(422);
  expect(faultOf(await put(randomUUID(), `place=${place}&thing=${thing}`, png)).status).toBe(422);
  const swapped = await put(randomUUID(), `place=${thing}`, png);
  expect(faultOf(swapped)).toMatchObject({ status: 422, type: '/problems/unknown-reference' });
  expect(faultOf(await put(randomUUID(), `place=${place}&takenAt=never`, png)).status).toBe(400);
});

test('a picture is taken away once', async () => {
  const [id, place] = [randomUUID(), await makePlace(service)];
  await put(id, `place=${place}`, png);
  expect((await service.ask('DELETE', `/api/pictures/${id}`)).status).toBe(200);
  expect((await service.ask('GET', `/api/pictures/${id}`)).status).toBe(404);
  expect((await service.ask('DELETE', `/api/pictures/${id}`)).status).toBe(404);
  expect((await service.ask('GET', `/api/places/${place}`)).body.pictureIds).toEqual([]);
});
