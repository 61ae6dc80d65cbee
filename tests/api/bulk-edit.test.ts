// Editing many things at once: the preview, one transaction, and what is left out by name.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { editLineSchema } from '#domain/thing-edit.ts';
import { plainFacts } from './facts.ts';
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

const answerSchema = z.strictObject({ lines: z.array(editLineSchema) });
type Group = { readonly set: unknown; readonly things: readonly { id: string; version: number }[] };
const send = (groups: readonly Group[], preview = false) =>
  service.ask('POST', '/api/thing-edits', { groups, preview });
async function edit(set: unknown, things: Group['things'], preview = false) {
  const reply = await send([{ set, things }], preview);
  expect(reply.status, JSON.stringify(reply.body)).toBe(200);
  return answerSchema.parse(reply.body).lines;
}
const read = async (id: string) => (await service.ask('GET', `/api/things/${id}`)).body;
const first = (id: string) => ({ id, version: 1 });
const price = { onDate: '2026-11-25', source: 'asked by phone' };

describe('a set on several things', () => {
  test('is shown line by line first, and nothing is written by that', async () => {
    const [one, two] = [await makeItem(service), await makeItem(service, { country: 'PT' })];
    const lines = await edit({ country: 'PT' }, [first(one), first(two)], true);
    expect(lines).toMatchObject([
      { id: one, does: 'changes', changes: [{ fact: 'country', before: null, after: 'PT' }], version: 2 },
      { id: two, does: 'stays', changes: [], version: 1 },
    ]);
    expect(await read(one)).toMatchObject({ country: null, version: 1 });
  });

  test('is written with a new version each, and the phones hear of it', async () => {
    const [one, two] = [await makeItem(service), await makeItem(service)];
    const drawer = await makePlace(service, { name: 'Drawer' });
    const set = { maker: 'Reedwork', check: 'seen', home: { way: 'driving', placeId: drawer } };
    const lines = await edit(set, [first(one), first(two)]);
    expect(lines.map(({ does }) => does)).toEqual(['changes', 'changes']);
    for (const id of [one, two]) {
      const facts = { maker: 'Reedwork', check: 'seen', homes: [{ placeId: drawer, number: 1 }], version: 2 };
      expect(await read(id)).toMatchObject(facts);
      expect(await changesOf(service, id)).toEqual(['thing', 'thing']);
    }
    // The search knows the new maker.
    const { body } = await service.ask('GET', `/api/things?text=reedwork`);
    expect(JSON.stringify(body)).toContain(one);
  });

  test('leaves out and names what somebody changed meanwhile; the others are changed', async () => {
    const [one, two] = [await makeItem(service), await makeItem(service, { name: 'Edited by hand' })];
    await service.ask(
      'PUT',
      `/api/items/${two}`,
      { ...plainFacts, name: 'Edited by hand', note: 'new' },
      ifMatch(1),
    );
    const lines = await edit({ country: 'NL' }, [first(one), first(two), first(randomUUID())]);
    expect(lines.map(({ name, does, why }) => [name, does, why])).toEqual([
      [plainFacts.name, 'changes', null],
      ['Edited by hand', 'left-out', 'version-moved'],
      [null, 'left-out', 'not-found'],
    ]);
    expect(await read(two)).toMatchObject({ note: 'new', country: null, version: 2 });
  });

  test('is put back by what the answer gave for it, and a repeat changes nothing twice', async () => {
    const [one, two] = [
      await makeItem(service, { country: 'PT' }),
      await makeItem(service, { country: 'DE' }),
    ];
    const lines = await edit({ country: 'NL' }, [first(one), first(two)]);
    const again = await edit({ country: 'NL' }, [first(one), first(two)]);
    expect(again.map(({ does }) => does)).toEqual(['stays', 'stays']);
    const groups = lines.map(({ id, version, back }) => ({
      set: back,
      things: [{ id, version: version ?? 0 }],
    }));
    expect((await send(groups)).status).toBe(200);
    expect([await read(one), await read(two)]).toMatchObject([
      { country: 'PT', version: 3 },
      { country: 'DE', version: 3 },
    ]);
  });

  test('never puts a case into itself, nor into its own compartment', async () => {
    const box = await makeItem(service, { container: true });
    const inside = await makePlace(service, { kind: 'compartment', parentId: box });
    const lens = await makeItem(service);
    for (const placeId of [box, inside]) {
      const lines = await edit({ home: { way: 'driving', placeId } }, [first(box)], true);
      expect(lines).toMatchObject([{ does: 'left-out', why: 'inside-itself' }]);
    }
    expect(await edit({ home: { way: 'driving', placeId: inside } }, [first(lens)])).toMatchObject([
      { does: 'changes' },
    ]);
  });
});

describe('what things cost new', () => {
  test('is raised once, also when the request is delivered twice', async () => {
    const id = await makeItem(service);
    await service.ask('POST', `/api/things/${id}/values`, {
      ...{ amountMinor: 20_000, currency: 'EUR', onDate: '2026-01-01', source: 'a list' },
    });
    const set = { value: { to: { permille: 100 }, ...price } };
    expect(await edit(set, [first(id)])).toMatchObject([{ does: 'changes' }]);
    expect(await edit(set, [first(id)])).toMatchObject([{ does: 'left-out', why: 'version-moved' }]);
    expect(await read(id)).toMatchObject({ replacement: { minor: 22_000, currency: 'EUR' } });
    const { body } = await service.ask('GET', `/api/things/${id}/values`);
    expect(body.values).toMatchObject([{ amountMinor: 22_000, ...price }, { amountMinor: 20_000 }]);
  });

  test('cannot be raised where nobody knows it', async () => {
    const id = await makeItem(service);
    const lines = await edit({ value: { to: { permille: 100 }, ...price } }, [first(id)], true);
    expect(lines).toMatchObject([{ does: 'left-out', why: 'no-value-known' }]);
  });
});

describe('ten thousand things', () => {
  test('are edited in one request, and one more is refused in words', async () => {
    const ids = Array.from({ length: 10_000 }, () => randomUUID());
    await service.sql`
      insert into thing (id, kind, name, folded) select id, 'item', 'Peg', 'peg' from unnest(${ids}::uuid[]) as x (id)`;
    const lines = await edit({ country: 'PT' }, ids.map(first));
    expect(lines.filter(({ does }) => does === 'changes')).toHaveLength(10_000);
    const reply = await send([{ set: { country: 'NL' }, things: [...ids, randomUUID()].map(first) }]);
    expect(faultOf(reply)).toMatchObject({ status: 400, pointers: ['/groups'] });
  });
});

describe('a request that cannot be meant', () => {
  test('is refused by name, and nothing is written', async () => {
    const id = await makeItem(service);
    const things = [first(id)];
    for (const [set, status] of [
      [{}, 400],
      [{ name: 'All alike' }, 400],
      [{ country: 'Portugal' }, 400],
      [{ check: 'on-paper' }, 400],
      [{ value: { to: { permille: -1_000 }, ...price } }, 400],
      [{ value: { to: { minor: 1, currency: 'QQQ' }, ...price } }, 422],
      [{ classId: randomUUID() }, 422],
      [{ home: { way: 'driving', placeId: randomUUID() } }, 422],
      [{ whose: { whose: 'borrowed', ownerPlaceId: randomUUID(), whoseFrom: null, whoseUntil: null } }, 422],
    ] as const) {
      const reply = await send([{ set, things }]);
      expect(reply.status, JSON.stringify(set)).toBe(status);
      expect(
        Array.isArray(reply.body.errors) && reply.body.errors.length,
        JSON.stringify(set),
      ).toBeGreaterThan(0);
    }
    for (const groups of [[], [{ set: { country: 'PT' }, things: [] }], [{ set: { country: 'PT' } }], 'all'])
      expect((await service.ask('POST', '/api/thing-edits', { groups, preview: false })).status).toBe(400);
    const twice = await send([{ set: { country: 'PT' }, things: [first(id), first(id)] }]);
    expect(twice.status).toBe(422);
    expect(await read(id)).toMatchObject({ version: 1 });
  });
});
