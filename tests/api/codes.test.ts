// Tags and codes over HTTP, on a real PostgreSQL.
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { makeUuidV7, thingIdSchema } from '#domain/ids.ts';
import { parseTag, showTag, tagCodeSchema } from '#domain/tag-code.ts';
import { resolvedSchema } from '../../api/codes/resolve-code.ts';
import { recordLines } from '../../api/movements/record-lines.ts';
import { makePlaceOf } from '../../api/things/thing-place.ts';
import { insertThing } from '../../api/things/write-facts.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';

let now = Date.UTC(2026, 10, 25, 9);
let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => now });
});
afterAll(() => service.close());

const ask = (method: string, path: string, body?: object) => service.ask(method, path, { body });

const blockSchema = z.object({ tags: z.array(z.object({ code: tagCodeSchema, shown: z.string() })) });

async function enter(name: string, container = false) {
  const id = thingIdSchema.parse(randomUUID());
  await service.database.sql.begin(async (tx) => {
    await insertThing(tx, id, 'item', { ...plainFacts, name, container });
    if (container) await makePlaceOf(tx, { id, name }, 'container');
  });
  return id;
}

async function enterPlace(name: string) {
  const id = randomUUID();
  await service.database.sql`insert into place ${service.database.sql({ id, kind: 'store', name })}`;
  return id;
}

async function makeBlock(number: number) {
  const { body } = await ask('POST', '/api/tags', { blockId: randomUUID(), number });
  return blockSchema.parse(body).tags;
}
async function newTag() {
  const [tag] = await makeBlock(1);
  if (tag === undefined) throw new Error('a block of one holds a tag');
  return tag.code;
}
async function resolve(code: string, query = '') {
  const { status, body } = await ask('GET', `/api/codes/${encodeURIComponent(code)}${query}`);
  expect(status).toBe(200);
  return resolvedSchema.parse(body);
}
const put = (code: string, body: object) => ask('PUT', `/api/codes/${encodeURIComponent(code)}`, body);

/** The tag with two neighbours swapped that differ. */
function mistype(code: string): string {
  const at = [2, 3, 4, 5, 6, 7].find((place) => code.charAt(place) !== code.charAt(place + 1)) ?? 8;
  return code.slice(0, at) + code.charAt(at + 1) + code.charAt(at) + code.slice(at + 2);
}

describe('blank tags', () => {
  test('are made in a block, all different and right', async () => {
    const tags = await makeBlock(300);
    expect(new Set(tags.map((tag) => tag.code)).size).toBe(300);
    expect(tags.every((tag) => tag.shown === showTag(tag.code) && 'tag' in parseTag(tag.shown))).toBe(true);
  });

  test('a block asked for twice is made once, also at the same time', async () => {
    const block = { blockId: randomUUID(), number: 50 };
    const answers = await Promise.all([1, 2, 3].map(() => ask('POST', '/api/tags', block)));
    expect(answers.map((answer) => answer.status).sort()).toEqual([200, 200, 201]);
    expect(answers.map((answer) => answer.text)).toEqual(Array(3).fill(answers[0]?.text));
  });

  test('another number under the same block id is refused', async () => {
    const blockId = randomUUID();
    await ask('POST', '/api/tags', { blockId, number: 2 });
    const { status, body } = await ask('POST', '/api/tags', { blockId, number: 3 });
    expect({ status, body }).toMatchObject({
      status: 409,
      body: { type: '/problems/id-reused', id: blockId },
    });
  });

  test.each([
    { number: 1 },
    { blockId: 'x', number: 1 },
    { blockId: randomUUID(), number: 0 },
    { blockId: randomUUID(), number: 5_001 },
    { blockId: randomUUID(), number: 1.5 },
    { blockId: randomUUID(), number: 1, more: 1 },
  ])('a request such as %j is refused with its fields', async (body) => {
    expect(await ask('POST', '/api/tags', body)).toMatchObject({
      status: 400,
      body: { type: '/problems/invalid-request' },
    });
  });

  test('are listed page by page, blank or tied', async () => {
    const blockId = randomUUID();
    const made = blockSchema
      .parse((await ask('POST', '/api/tags', { blockId, number: 7 })).body)
      .tags.map((tag) => tag.code);
    const first = made[0];
    if (first === undefined) throw new Error('a block of seven holds a tag');
    await put(first, { thingId: await enter('Listed lamp') });
    const pageSchema = z.object({
      tags: z.array(z.object({ code: z.string(), tied: z.boolean() })),
      next: z.string().nullable(),
    });
    const seen: string[] = [];
    let next: string | null = '';
    while (next !== null) {
      const page = pageSchema.parse(
        (await ask('GET', `/api/tags?block=${blockId}&limit=3${next === '' ? '' : `&after=${next}`}`)).body,
      );
      seen.push(...page.tags.map((tag) => tag.code));
      next = page.next;
    }
    expect(seen).toEqual([...made].sort());
    const tied = pageSchema.parse((await ask('GET', `/api/tags?block=${blockId}&tied=true`)).body);
    expect(tied.tags).toMatchObject([{ code: first, tied: true }]);
  });
});

describe('a code', () => {
  test('means the thing it was put on, however it is written', async () => {
    const tag = await newTag();
    expect(await resolve(tag)).toMatchObject({ means: 'blank-tag', code: tag });
    const thingId = await enter('Heron lens');
    expect(await put(showTag(tag).toLowerCase(), { thingId })).toMatchObject({ status: 201 });
    for (const written of [tag, showTag(tag), ` ${tag.toLowerCase()} `]) {
      expect(await resolve(written)).toMatchObject({
        means: 'thing',
        code: tag,
        shown: showTag(tag),
        ties: [{ thingId, name: 'Heron lens' }],
      });
    }
    expect(await resolve(tag.slice(2), '?typed=true')).toMatchObject({ means: 'thing', ties: [{ thingId }] });
  });

  test('is added by a re-tag; the old one keeps resolving', async () => {
    const thingId = await enter('Twice tagged');
    const [old, fresh] = [await newTag(), await newTag()];
    await put(old, { thingId });
    await put(fresh, { thingId });
    expect((await resolve(old)).ties).toMatchObject([{ thingId, until: null }]);
    expect((await resolve(fresh)).ties).toMatchObject([{ thingId, until: null }]);
  });

  test('put twice on the same thing changes nothing', async () => {
    const [tag, thingId] = [await newTag(), await enter('Once')];
    expect((await put(tag, { thingId })).status).toBe(201);
    expect((await put(tag, { thingId })).status).toBe(200);
    expect((await resolve(tag)).ties).toHaveLength(1);
  });

  test('of a hang tag serves again only when it is taken from where it was', async () => {
    const [tag, before, after] = [
      await newTag(),
      await enter('Borrowed in May'),
      await enter('Borrowed in June'),
    ];
    await put(tag, { thingId: before });
    expect(await put(tag, { thingId: after })).toMatchObject({
      status: 409,
      body: { type: '/problems/code-in-use', by: before },
    });
    expect(await put(tag, { thingId: after, takeFrom: randomUUID() })).toMatchObject({ status: 409 });
    now += 60_000;
    expect(await put(tag, { thingId: after, takeFrom: before })).toMatchObject({ status: 201 });
    expect(await resolve(tag)).toMatchObject({
      means: 'thing',
      ties: [{ thingId: after, since: now, until: null }],
      history: [{ thingId: before, until: now }],
    });
  });

  test('is put by two people at the same time on two things: one gets it, the other hears so', async () => {
    for (let round = 0; round < 5; round += 1) {
      const tag = await newTag();
      const things = [await enter('Left'), await enter('Right')];
      const answers = await Promise.all(things.map((thingId) => put(tag, { thingId })));
      expect(answers.map((answer) => answer.status).sort()).toEqual([201, 409]);
      expect((await resolve(tag)).ties).toHaveLength(1);
    }
  });

  test('taken off means nothing any more, and its history says what it was', async () => {
    const [tag, thingId] = [await newTag(), await enter('Was tagged')];
    await put(tag, { thingId });
    expect((await ask('DELETE', `/api/codes/${tag}?from=${randomUUID()}`)).status).toBe(404);
    expect((await ask('DELETE', `/api/codes/${tag}?from=${thingId}`)).status).toBe(200);
    expect(await resolve(tag)).toMatchObject({ means: 'blank-tag', ties: [], history: [{ thingId }] });
  });

  test('of somebody else is kept as it was read, signs and all', async () => {
    const thingId = await enter('Hired light');
    const code = 'House/0042 #ä%';
    expect(await put(code, { thingId })).toMatchObject({ status: 201 });
    expect(await resolve(code)).toMatchObject({ kind: 'foreign', means: 'thing', code, ties: [{ thingId }] });
    expect(await resolve('House/0042')).toMatchObject({ means: 'unknown', ties: [] });
  });

  test('that is a product number asks which of several things', async () => {
    // GTIN-13 of the GS1 Hong Kong worked example.
    const things = [await enter('Clamp left'), await enter('Clamp right')];
    for (const thingId of things) expect((await put('6291041500213', { thingId })).status).toBe(201);
    const resolved = await resolve('6291041500213');
    expect(resolved).toMatchObject({ kind: 'gtin', code: '06291041500213', means: 'which-one' });
    expect(resolved.ties.map((tie) => tie.thingId).sort()).toEqual([...things].sort());
  });

  test('names a place, and for a container the thing that it is', async () => {
    const [onPlace, onCase] = [await newTag(), await newTag()];
    const placeId = await enterPlace('Boat shed');
    const caseId = await enter('Case 3', true);
    await put(onPlace, { placeId });
    await put(onCase, { placeId: caseId });
    expect(await resolve(onPlace)).toMatchObject({
      means: 'place',
      ties: [{ placeId, thingId: null, name: 'Boat shed' }],
    });
    expect(await resolve(onCase)).toMatchObject({
      means: 'thing',
      ties: [{ thingId: caseId, placeId: null }],
    });
  });

  test('mistyped lists the tags that one slip explains, those in use first and by name', async () => {
    const [tag, thingId] = [await newTag(), await enter('Meant lens')];
    await put(tag, { thingId });
    const wrong = mistype(tag);
    const resolved = await resolve(wrong);
    expect(resolved).toMatchObject({
      means: 'mistyped',
      ties: [],
      candidates: [{ code: tag, known: true, name: 'Meant lens' }, ...resolved.candidates.slice(1)],
    });
    const answer = await put(wrong, { thingId });
    expect(answer).toMatchObject({ status: 422, body: { type: '/problems/bad-check-characters' } });
    expect(z.object({ candidates: z.array(z.string()) }).parse(answer.body).candidates[0]).toBe(showTag(tag));
  });

  test('of somebody else that looks like a mistyped tag is kept when a person says so, and found from then on', async () => {
    const [wrong, thingId] = [mistype(await newTag()), await enter('Odd one')];
    expect((await put(wrong, { thingId, kind: 'foreign' })).status).toBe(201);
    expect(await resolve(wrong)).toMatchObject({ kind: 'foreign', means: 'thing', ties: [{ thingId }] });
  });

  test('scanned before anybody knew it counts for the thing it was, from the time of the scan', async () => {
    const [tag, thingId, placeId] = [
      await newTag(),
      await enter('Scanned early'),
      await enterPlace('Tide hut'),
    ];
    const line = {
      kind: 'move',
      id: makeUuidV7(now - 5_000, randomBytes(16)),
      deviceId: randomUUID(),
      deviceNo: 1,
      deviceAt: now - 5_000,
      clockRun: randomUUID(),
      personId: null,
      stopId: null,
      round: null,
      note: null,
      check: 'scanned',
      why: 'tidy',
      spot: null,
      thingId: null,
      code: tag,
      toId: placeId,
    };
    const [answer] = await recordLines(service.database.sql, {
      batch: { clocks: [], movements: [line] },
      receivedAt: now,
    });
    expect(answer?.answer).toBe('recorded');
    await put(tag, { thingId });
    const rows = await service.database
      .sql`select place_id as "placeId", at from position where thing_id = ${thingId}`;
    expect([...rows]).toEqual([{ placeId, at: now - 5_000 }]);
  });

  test('tells phones that its thing changed', async () => {
    const [tag, thingId] = [await newTag(), await enter('Announced')];
    await put(tag, { thingId });
    const noted = await service.database.sql`
      select from change_waiting where kind = 'thing' and ref = ${thingId}
      union all select from change where kind = 'thing' and ref = ${thingId}`;
    expect(noted.count).toBeGreaterThan(0);
  });

  test.each([
    ['no target', {}, 400],
    ['two targets', { thingId: randomUUID(), placeId: randomUUID() }, 400],
    ['a thing nobody knows', { thingId: randomUUID() }, 422],
    ['a place nobody knows', { placeId: randomUUID() }, 422],
    ['an id that is none', { thingId: 'lens' }, 400],
    ['a time before time', { thingId: randomUUID(), since: -1 }, 400],
    ['a time to come', { thingId: randomUUID(), since: Date.UTC(2030, 0, 1) }, 422],
    ['a field nobody knows', { thingId: randomUUID(), colour: 'red' }, 400],
  ])('is refused with %s', async (_what, body, status) => {
    expect((await put(await newTag(), body)).status).toBe(status);
  });

  test('with a kind that it is not is refused', async () => {
    const thingId = await enter('Plain');
    expect((await put('HELLO 12', { thingId, kind: 'tag' })).status).toBe(422);
    expect((await put('HELLO 12', { thingId, kind: 'gtin' })).status).toBe(422);
    expect((await put('73513537', { thingId, kind: 'gtin' })).status).toBe(201);
  });

  test.each(['%00', '%0d%0a', '%20', 'x'.repeat(201), '%ff', '%ed%a0%80'])('%s is no code', async (text) => {
    const { status } = await ask('GET', `/api/codes/${text}`);
    expect(status).toBe(400);
  });
});
