// The search over the real database: what is found, and in which order.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { thingIdSchema } from '#domain/ids.ts';
import { thingFactsSchema } from '#domain/thing.ts';
import { searchRecord } from '../../api/search/search.ts';
import { insertThing } from '../../api/things/write-facts.ts';
import { openTestDatabase, type TestDatabase } from '../database.ts';
import { plainFacts } from './facts.ts';

let database: TestDatabase;
beforeAll(async () => {
  database = await openTestDatabase();
});
afterAll(() => database.close());

async function enter(facts: { name: string; maker?: string; model?: string; serial?: string }) {
  const id = thingIdSchema.parse(randomUUID());
  await database.sql.begin((tx) =>
    insertThing(tx, id, 'item', thingFactsSchema.parse({ ...plainFacts, ...facts })),
  );
  return id;
}

async function tie(code: string, thingId: string) {
  await database.sql`
    insert into code ${database.sql({ id: randomUUID(), code, kind: 'tag', thing_id: thingId, since: 0 })}`;
}

const PAGE = 50;
const ask = (text: string, skip = 0) =>
  searchRecord(database.sql, { text, filter: {}, among: null, order: 'fit', skip, limit: PAGE });
const search = async (text: string) => (await ask(text)).hits;
async function namesOf(text: string) {
  return (await search(text)).map((hit) => hit.thing?.name ?? hit.place?.name);
}

test('a thing is found by any part of its maker, model and serial number', async () => {
  await enter({ name: 'Reed microphone', maker: 'Rohrdommel', model: 'RD 41', serial: 'ZX-88417' });
  expect(await namesOf('dommel')).toEqual(['Reed microphone']);
  expect(await namesOf('rd 41')).toEqual(['Reed microphone']);
  expect(await namesOf('8841')).toEqual(['Reed microphone']);
});

test('letters swapped, doubled or left out still find the thing', async () => {
  await enter({ name: 'Waterproof receiver', maker: 'Fenland' });
  for (const typed of ['reciever', 'recever', 'watterproof', 'waterprof reciever'])
    expect(await namesOf(typed), typed).toContain('Waterproof receiver');
});

test('scripts other than Latin are found whole, in part and mistyped', async () => {
  await enter({ name: 'Объектив болотный' });
  await enter({ name: '三脚架' });
  await enter({ name: 'عدسة المستنقع' });
  expect(await namesOf('объектив')).toContain('Объектив болотный');
  expect(await namesOf('обьектив')).toContain('Объектив болотный');
  expect(await namesOf('脚架')).toEqual(['三脚架']);
  expect(await namesOf('عدسة')).toEqual(['عدسة المستنقع']);
});

test('accents and case do not matter, in either direction', async () => {
  await enter({ name: 'Überschuhe für den Sumpf' });
  expect(await namesOf('uberschuhe')).toEqual(['Überschuhe für den Sumpf']);
  expect(await namesOf('ÜBERSCHUHE FUR')).toEqual(['Überschuhe für den Sumpf']);
});

test('an exact code comes before a beginning, a beginning before a part, a part before what is only alike', async () => {
  const exact = await enter({ name: 'Tag bearer' });
  await tie('QHERON7', exact);
  await enter({ name: 'qheron7 at the beginning' });
  await enter({ name: 'With qheron7 inside' });
  await enter({ name: 'Only qherun7' });
  const hits = await search('QHERON7');
  expect(hits.map((hit) => [hit.match, hit.thing?.name])).toEqual([
    ['code', 'Tag bearer'],
    ['beginning', 'qheron7 at the beginning'],
    ['part', 'With qheron7 inside'],
    ['alike', 'Only qherun7'],
  ]);
});

test('a tag is found by part and with the dashes that screens show', async () => {
  const id = await enter({ name: 'Dashed thing' });
  await tie('KM4WPR8T', id);
  expect((await search('km4w-pr8t'))[0]).toMatchObject({ match: 'code', thing: { id } });
  expect((await search('WPR8'))[0]).toMatchObject({ match: 'part', thing: { id } });
});

test('a tag that was taken off finds nothing', async () => {
  const id = await enter({ name: 'Retagged thing' });
  await database.sql`
    insert into code ${database.sql({ id: randomUUID(), code: 'OLDTAG99', kind: 'tag', thing_id: id, since: 0, until: 5 })}`;
  expect(await search('OLDTAG99')).toEqual([]);
});

test('places are found by name', async () => {
  const id = randomUUID();
  await database.sql`
    insert into place ${database.sql({ id, kind: 'store', name: 'Boathouse', folded: 'boathouse' })}`;
  expect(await search('boathouse')).toMatchObject([{ match: 'beginning', thing: null, place: { id } }]);
});

test('signs that mean something to the database are only text', async () => {
  await enter({ name: 'Plain thing' });
  for (const text of ['%', '_', '\\', "' or 1=1 --", '%%%', '"', '{}', '🎥'])
    expect(Array.isArray(await search(text)), text).toBe(true);
  expect(await search('%')).toEqual([]);
});

test('more than a page of hits is leafed through without a gap and without a repeat', async () => {
  const names: string[] = [];
  for (let count = 0; count < PAGE + 3; count += 1) {
    const name = `Sedge clip ${String(count).padStart(2, '0')}`;
    names.push(name);
    await enter({ name });
  }
  const first = await ask('sedge');
  expect(first).toMatchObject({ all: PAGE + 3, next: PAGE });
  const second = await ask('sedge', PAGE);
  expect(second).toMatchObject({ all: PAGE + 3, next: null });
  expect([...first.hits, ...second.hits].map((hit) => hit.thing?.name)).toEqual(names);
});
