// The search over HTTP: what was just entered is found, and no question fails.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { z } from 'zod';
import type { Reply } from './app.ts';
import { makeItem, makePlace, type RecordService, startRecord, writeMove } from './record-client.ts';

const named = z.looseObject({ name: z.string() }).nullable();

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

/** A place below another, or on its own; a thing of it was put down there. */
async function putDown(thingId: string, toId: string, at = 1_000) {
  await writeMove(service, thingId, toId, at);
}
const namesOf = (reply: Reply) => {
  const hits = z.array(z.looseObject({ thing: named, place: named })).parse(reply.body.hits);
  return hits.map(({ thing, place }) => thing?.name ?? place?.name);
};
const filtered = (params: Record<string, string>) =>
  service.ask('GET', `/api/search?${new URLSearchParams({ q: '', ...params })}`);
// Unlike every other, so that what another test made is not like it.
const newWord = () => randomUUID().replaceAll('-', '').slice(0, 14);

test('each hit says where it is now, from the drawer outwards, and with which words it was put down', async () => {
  const word = newWord();
  const shed = await makePlace(service, { name: `${word} shed` });
  const shelf = await makePlace(service, { name: `${word} shelf`, kind: 'compartment', parentId: shed });
  const box = await makeItem(service, { name: `${word} box`, container: true });
  const lens = await makeItem(service, { name: `${word} lens` });
  const never = await makeItem(service, { name: `${word} never put down` });
  await putDown(box, shelf);
  await putDown(lens, box);
  const { body } = await search(`${word} lens`);
  expect(Array.isArray(body.hits) && body.hits.slice(0, 1)).toMatchObject([
    {
      thing: { id: lens },
      at: [
        {
          number: 1,
          spot: null,
          chain: [{ id: box }, { id: shelf, name: `${word} shelf` }, { id: shed }],
        },
      ],
    },
  ]);
  const firstOf = async (text: string) => {
    const { hits } = (await search(text)).body;
    return Array.isArray(hits) && hits[0];
  };
  expect(await firstOf(`${word} never`)).toMatchObject({ thing: { id: never }, at: [] });
  const onShelf = { place: { id: shelf }, at: [{ chain: [{ id: shed }] }] };
  expect(await firstOf(`${word} shelf`)).toMatchObject(onShelf);
});

test('two cases that are said to be in each other are still found, and the way ends', async () => {
  const word = newWord();
  const one = await makeItem(service, { name: `${word} one`, container: true });
  const two = await makeItem(service, { name: `${word} two`, container: true });
  await putDown(one, two);
  await putDown(two, one);
  const { body } = await search(`${word} one`);
  expect(Array.isArray(body.hits) && body.hits[0]).toMatchObject({
    thing: { id: one },
    at: [{ chain: [{ id: two }, { id: one }] }],
  });
});

test('filters narrow what was typed, and alone they list what passes them', async () => {
  const word = newWord();
  const room = await makePlace(service, { name: `${word} room` });
  const ours = await makeItem(service, { name: `${word} a ours` });
  await makeItem(service, { name: `${word} b rented`, whose: 'rented-in' });
  await putDown(ours, room);
  expect(namesOf(await filtered({ q: word }))).toHaveLength(3);
  expect(namesOf(await filtered({ q: word, whose: 'rented-in' }))).toEqual([`${word} b rented`]);
  expect(namesOf(await filtered({ q: word, kind: 'place' }))).toEqual([`${word} room`]);
  expect(namesOf(await filtered({ q: word, kind: 'consumable' }))).toEqual([]);
  expect(namesOf(await filtered({ place: room }))).toEqual([`${word} a ours`]);
  expect((await filtered({ place: room })).body.hits).toMatchObject([{ match: 'listed' }]);
});

test('what is faulty is found as such until it is cleared, what is written off only when asked for', async () => {
  const word = newWord();
  const faulty = await makeItem(service, { name: `${word} faulty` });
  const gone = await makeItem(service, { name: `${word} gone` });
  const mark = (on: boolean, at: number) => service.sql`
    insert into movement ${service.sql({
      ...{ id: `019ab000-0000-7000-8000-${randomUUID().slice(24)}`, kind: 'mark', thing_id: faulty, at },
      ...{ device_id: randomUUID(), device_no: 1, received_at: at },
      body: service.sql.json({ mark: 'faulty', on, note: null }),
    })}`;
  await mark(true, 1_000);
  await service.ask('POST', '/api/write-offs', {
    ...{ thingId: gone, number: 1, onDate: '2026-11-20', reason: 'lost', note: null },
  });
  expect(namesOf(await filtered({ q: word, matter: 'faulty' }))).toEqual([`${word} faulty`]);
  expect(namesOf(await filtered({ q: word, writtenOff: 'true' }))).toEqual([`${word} gone`]);
  expect(namesOf(await filtered({ q: word, writtenOff: 'false' }))).toEqual([`${word} faulty`]);
  await mark(false, 2_000);
  expect(namesOf(await filtered({ q: word, matter: 'faulty' }))).toEqual([]);
});

test('it is sorted by name, by value or by what was put down last, and leafed through by cursor', async () => {
  const word = newWord();
  const room = await makePlace(service);
  const [cheap, dear, none] = [
    await makeItem(service, { name: `${word} b` }),
    await makeItem(service, { name: `${word} c` }),
    await makeItem(service, { name: `${word} a` }),
  ];
  const value = (id: string, amountMinor: number) =>
    service.ask('POST', `/api/things/${id}/values`, {
      ...{ amountMinor, currency: 'EUR', onDate: '2026-11-01', source: 'a test' },
    });
  await value(cheap, 100);
  await value(dear, 900);
  await putDown(none, room, 5_000);
  await putDown(cheap, room, 9_000);
  const orderBy = async (order: string) => namesOf(await filtered({ q: word, order }));
  expect(await orderBy('name')).toEqual([`${word} a`, `${word} b`, `${word} c`]);
  expect(await orderBy('value')).toEqual([`${word} c`, `${word} b`, `${word} a`]);
  expect(await orderBy('put-down')).toEqual([`${word} b`, `${word} a`, `${word} c`]);
  const first = await filtered({ q: word, order: 'name', limit: '2' });
  expect(first.body.all).toBe(3);
  const second = await filtered({ q: word, order: 'name', limit: '2', after: String(first.body.next) });
  expect(namesOf(second)).toEqual([`${word} c`]);
  expect(second.body.next).toBeNull();
});

test('an entry that was merged away is not found', async () => {
  const word = newWord();
  const [loser, winner] = [
    await makeItem(service, { name: `${word} twice` }),
    await makeItem(service, { name: `${word} once` }),
  ];
  await service.sql`update thing set merged_into_id = ${winner} where id = ${loser}`;
  expect(namesOf(await search(word))).toEqual([`${word} once`]);
});

test('filters that mean nothing are refused by name, and no filter asks for everything', async () => {
  for (const [name, value] of [
    ['kind', 'thing'],
    ['class', 'lens'],
    ['whose', 'mine'],
    ['place', 'shed'],
    ['matter', 'rusty'],
    ['writtenOff', 'yes'],
    ['order', 'colour'],
    ['limit', '501'],
    ['after', 'nowhere'],
    ['after', Buffer.from('{"skip":-1}').toString('base64url')],
    ['colour', 'red'],
  ] as const) {
    const reply = await filtered({ q: 'a', [name]: value });
    expect(reply.status, `${name}=${value}`).toBe(400);
    expect(JSON.stringify(reply.body), `${name}=${value}`).toContain(`query:/${name}`);
  }
  expect((await filtered({})).body).toEqual({ hits: [], all: 0, skip: 0, next: null });
  expect((await filtered({ class: randomUUID() })).body).toEqual({ hits: [], all: 0, skip: 0, next: null });
});
