// Bringing in a list over HTTP, on a real PostgreSQL: what comes out of it, and that the same file twice changes nothing.
import { randomBytes, randomUUID } from 'node:crypto';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { writeRecord } from '#domain/csv/cell-text.ts';
import { showTag, tagCodeSchema } from '#domain/tag-code.ts';
import { type Service, startService } from './app.ts';

const now = Date.UTC(2026, 10, 25, 9);
let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => now });
  await service.database.sql`
    insert into outfit (id, name, currency, zone, last_look) values (1, 'Reedbed Pictures', 'EUR', 'Europe/Lisbon', '{}')`;
});
afterAll(() => service.close());

/** Bytes go as a file does, everything else as JSON. */
const ask = (method: string, path: string, body?: unknown) => {
  const headers = body instanceof Uint8Array ? { 'content-type': 'application/octet-stream' } : {};
  return service.ask(method, path, { body, headers });
};

/** A word that no other test has in its lists. */
const word = () => `w${randomBytes(6).toString('hex')}`;
const bytesOf = (text: string) => new TextEncoder().encode(text);
const query = (choices: object, more = '') =>
  `?choices=${encodeURIComponent(JSON.stringify(choices))}${more}`;
const understand = (text: string | Uint8Array, choices: object = {}) =>
  ask('POST', `/api/imports/understand${query(choices)}`, typeof text === 'string' ? bytesOf(text) : text);
const plan = (text: string, choices: object = {}, more = '') =>
  ask('POST', `/api/imports/plan${query(choices, more)}`, bytesOf(text));

const doneSchema = z.object({
  sums: z.record(z.string(), z.int()),
  classesMade: z.int(),
  placesMade: z.int(),
  refusedFile: z.string().nullable(),
});
const streamedSchema = z.object({
  progress: z.object({ step: z.string(), done: z.int(), of: z.int() }).optional(),
  done: doneSchema.optional(),
});

async function bring(text: string, choices: object = {}, name = 'gear.csv') {
  const { status, text: answered } = await ask(
    'POST',
    `/api/imports${query(choices, `&name=${encodeURIComponent(name)}`)}`,
    bytesOf(text),
  );
  expect(status).toBe(200);
  const said = answered
    .trim()
    .split('\n')
    .map((line) => streamedSchema.parse(JSON.parse(line)));
  const done = said.at(-1)?.done;
  if (done === undefined) throw new Error(`the list was not brought in: ${answered.slice(-500)}`);
  return { ...done, progress: said.flatMap((one) => one.progress ?? []) };
}

type ThingRow = {
  name: string;
  kind: string;
  place: string | null;
  number: number | null;
  home: string | null;
  className: string | null;
  container: boolean;
  serial: string | null;
};
async function thingsLike(mark: string): Promise<ThingRow[]> {
  const rows = await service.database.sql<ThingRow[]>`
    select t.name, t.kind, coalesce(p.name, l.name) as place, s.number, hp.name as home, c.name as "className", t.container, t.serial
    from thing t left join position o on o.thing_id = t.id left join place p on p.id = o.place_id
      left join stock_level s on s.thing_id = t.id left join place l on l.id = s.place_id
      left join home h on h.thing_id = t.id left join place hp on hp.id = h.place_id left join class c on c.id = t.class_id
    where t.name like ${`%${mark}%`} order by t.name, t.id`;
  return [...rows];
}

describe('a list', () => {
  test('comes in whole: things, counted gear, classes, places, values, and where each is', async () => {
    const mark = word();
    const list = `Gerät;Hersteller;Seriennummer;Menge;Lagerort;Kategorie;Neuwert;Kaufdatum
Kamera ${mark};Reiherbau;${mark}-1;1;Lager ${mark} / Fach 2;Kameras ${mark};12.499,00;03.04.2021
Kabel ${mark};;;24;Lager ${mark};Kabel ${mark};8,50;
Stativ ${mark};Moorwerk;;;;Stative ${mark};899,90;31.12.2019
`;
    const done = await bring(list);
    expect(done).toMatchObject({
      classesMade: 3,
      placesMade: 3,
      refusedFile: null,
      sums: { lines: 3, things: 3, 'makes-item': 2, 'makes-counted-gear': 1 },
    });
    expect(await thingsLike(mark)).toMatchObject([
      {
        name: `Kabel ${mark}`,
        kind: 'counted',
        place: `Lager ${mark}`,
        number: 24,
        home: `Lager ${mark}`,
        className: `Kabel ${mark}`,
      },
      {
        name: `Kamera ${mark}`,
        kind: 'item',
        place: 'Fach 2',
        home: 'Fach 2',
        className: `Kameras ${mark}`,
        serial: `${mark}-1`,
      },
      { name: `Stativ ${mark}`, kind: 'item', place: 'Store', home: null },
    ]);
    const values = await service.database.sql`
      select v.amount_minor as minor, v.currency, v.on_date as "onDate", v.source, t.purchased_on as "purchasedOn" from replacement_value v
      join thing t on t.id = v.thing_id where t.name = ${`Kamera ${mark}`}`;
    expect([...values]).toEqual([
      {
        minor: 1_249_900,
        currency: 'EUR',
        onDate: '2026-11-25',
        source: 'list gear.csv',
        purchasedOn: '2021-04-03',
      },
    ]);
  });

  test('brought in twice changes nothing, whatever was edited meanwhile', async () => {
    const mark = word();
    const list = `Name,Qty,Serial,Home\nLens ${mark},1,${mark},Shelf ${mark}\nSandbag ${mark},12,,Shelf ${mark}\nSandbag ${mark},12,,Shelf ${mark}\nHide ${mark},,,\n`;
    await bring(list);
    await service.database.sql`update thing set name = ${`Renamed ${mark}`} where name = ${`Hide ${mark}`}`;
    const before = await thingsLike(mark);
    const lines = await service.database.sql`select count(*)::int as number from movement`;
    const again = await bring(list);
    expect(again).toMatchObject({ classesMade: 0, placesMade: 0, sums: { 'already-known': 4, things: 0 } });
    expect(await thingsLike(mark)).toEqual(before);
    expect(before).toHaveLength(4);
    // Nothing else writes to this file's database while this runs.
    expect(await service.database.sql`select count(*)::int as number from movement`).toEqual(lines);
  });

  test('brought in by two people at once comes in once', async () => {
    const mark = word();
    const list = `Name,Qty,Home\nLens ${mark},1,Shelf ${mark}\nClamp ${mark},4,Shelf ${mark}\n`;
    const both = await Promise.all([bring(list), bring(list)]);
    expect(both.map((done) => done.sums.things).sort()).toEqual([0, 2]);
    expect(await thingsLike(mark)).toHaveLength(2);
  });

  test('knows a thing that was entered by hand, by its serial however it is written', async () => {
    const mark = word();
    await service.database.sql`
      insert into thing ${service.database.sql({ id: randomUUID(), kind: 'item', name: `By hand ${mark}`, maker: 'Reed', model: 'R5', serial: `${mark}-00/7` })}`;
    const done = await bring(
      `Name,Maker,Model,Serial\nFrom the list ${mark},REED,r5,${mark.toUpperCase()} 007\n`,
    );
    expect(done.sums).toMatchObject({ 'already-known': 1, things: 0 });
  });

  test('new homes are compartments of the vehicle that is named, which is made once', async () => {
    const mark = word();
    const choices = { vehicle: `Van ${mark}`, arriveAt: `Hut ${mark}` };
    await bring(`Name,Home\nLens ${mark},Drawer ${mark}\nRope ${mark},\n`, choices);
    await bring(`Name,Home\nMic ${mark},Shelf ${mark}\n`, choices);
    const rows = await service.database.sql<{ name: string; kind: string; inside: string | null }[]>`
      select p.name, p.kind, outer_place.name as inside
      from place p left join place outer_place on outer_place.id = p.parent_id
      where p.name like ${`%${mark}`} order by p.name`;
    expect(rows.map(({ name, kind, inside }) => [name, kind, inside])).toEqual([
      [`Drawer ${mark}`, 'compartment', `Van ${mark}`],
      [`Hut ${mark}`, 'store', null],
      [`Shelf ${mark}`, 'compartment', `Van ${mark}`],
      [`Van ${mark}`, 'vehicle', null],
    ]);
  });

  test('makes as many items as the number says, when a person wants that', async () => {
    const mark = word();
    await bring(`Name,Qty\nRadio ${mark},3\n`, { numberMakes: 'items', arriveAt: `Hut ${mark}` });
    expect(await thingsLike(mark)).toMatchObject(
      Array(3).fill({ name: `Radio ${mark}`, kind: 'item', place: `Hut ${mark}` }),
    );
    expect((await bring(`Name,Qty\nRadio ${mark},3\n`, { numberMakes: 'items' })).sums).toMatchObject({
      'already-known': 1,
      things: 0,
    });
  });

  test('puts things into the cases that stand in the same list, also case in case and drawer in case', async () => {
    const mark = word();
    await bring(
      `Name,Home\nLens ${mark},Case ${mark} > Drawer ${mark}\nPouch ${mark},Case ${mark}\nCloth ${mark},Pouch ${mark}\nCase ${mark},Boat ${mark}\nOdd ${mark},Odd ${mark}\n`,
    );
    expect(await thingsLike(mark)).toMatchObject([
      { name: `Case ${mark}`, container: true, place: `Boat ${mark}` },
      { name: `Cloth ${mark}`, container: false, place: `Pouch ${mark}` },
      { name: `Lens ${mark}`, place: `Drawer ${mark}`, home: `Drawer ${mark}` },
      { name: `Odd ${mark}`, home: null },
      { name: `Pouch ${mark}`, container: true, place: `Case ${mark}` },
    ]);
    const [drawer] = await service.database.sql`
      select d.kind, c.name as inside from place d join place c on c.id = d.parent_id where d.name = ${`Drawer ${mark}`}`;
    expect(drawer).toEqual({ kind: 'compartment', inside: `Case ${mark}` });
  });

  test('uses places, classes and owners that are there, however they are written', async () => {
    const mark = word();
    await bring(
      `Name,Home,Class,Owner,Whose\nOne ${mark},Shed ${mark},Lenses ${mark},Ana ${mark},borrowed\n`,
    );
    const done = await bring(
      `Name,Home,Class,Owner,Whose\nTwo ${mark},SHED ${mark},lenses ${mark},ana ${mark},hired\n`,
    );
    expect(done).toMatchObject({ classesMade: 0, placesMade: 0 });
    const rows = await service.database.sql`
      select t.whose, p.name as owner from thing t join place p on p.id = t.owner_place_id where t.name like ${`%${mark}`} order by t.name`;
    expect([...rows]).toEqual([
      { whose: 'borrowed', owner: `Ana ${mark}` },
      { whose: 'rented-in', owner: `Ana ${mark}` },
    ]);
  });

  test('ties tags and other people’s codes, and refuses a tag with a mistake', async () => {
    const mark = word();
    const { body } = await ask('POST', '/api/tags', { blockId: randomUUID(), number: 1 });
    const [tag] = z.object({ tags: z.array(z.object({ code: tagCodeSchema })) }).parse(body).tags;
    if (tag === undefined) throw new Error('a block of one holds a tag');
    const at = [2, 3, 4, 5, 6, 7].find((place) => tag.code.charAt(place) !== tag.code.charAt(place + 1)) ?? 8;
    const wrong =
      tag.code.slice(0, at) + tag.code.charAt(at + 1) + tag.code.charAt(at) + tag.code.slice(at + 2);
    const done = await bring(
      `Name,Tag\nLens ${mark},${showTag(tag.code)}\nLight ${mark},House-${mark}\nLost ${mark},${wrong}\n`,
    );
    expect(done.sums).toMatchObject({ 'makes-item': 2, refused: 1 });
    expect(done.refusedFile).toContain(showTag(tag.code));
    expect((await ask('GET', `/api/codes/${tag.code}`)).body).toMatchObject({
      means: 'thing',
      ties: [{ name: `Lens ${mark}` }],
    });
    expect((await ask('GET', `/api/codes/House-${mark}`)).body).toMatchObject({
      kind: 'foreign',
      ties: [{ name: `Light ${mark}` }],
    });
  });

  test('hands back refused lines to be corrected and brought in again, harmless in a spreadsheet', async () => {
    const mark = word();
    const done = await bring(
      `Name;Serial;Price;Note\nGood ${mark};=1+2;5,00;\n"=cmd ${mark}";-123;free;"+ ""two""\nlines"\n`,
    );
    expect(done.sums).toMatchObject({ 'makes-item': 1, refused: 1 });
    expect(done.refusedFile).toBe(
      `\ufeff"Name";"Serial";"Price";"Note";"Why it was refused"\r\n"'=cmd ${mark}";"'-123";"free";"'+ ""two""\nlines";"Price: “free” is no amount with a comma before the decimals; correct it or choose the other sign"\r\n`,
    );
    const again = await bring((done.refusedFile ?? '').replace('"free"', '"6,00"'));
    expect(again.sums).toMatchObject({ 'makes-item': 1, refused: 0 });
    expect((await thingsLike(mark)).map(({ name, serial }) => [name, serial])).toEqual([
      [`=cmd ${mark}`, '-123'],
      [`Good ${mark}`, '=1+2'],
    ]);
  });

  test('of which nothing can be kept leaves nothing: one transaction', async () => {
    const mark = word();
    const done = await bring(`Name,Qty,Home,Class\nLens ${mark},0,Nowhere ${mark},Void ${mark}\n`);
    expect(done).toMatchObject({ classesMade: 0, placesMade: 0, sums: { refused: 1, things: 0 } });
    const places = await service.database
      .sql`select from place where name like ${`%${mark}%`} union all select from class where name like ${`%${mark}%`}`;
    expect(places.count).toBe(0);
  });
});

describe('before a list comes in', () => {
  test('it is shown how it was understood, and a person can change that', async () => {
    const list = 'Name;Price;Bought;Flurb\nLens;1.234;03/04/2024;a\n';
    expect((await understand(list)).body).toMatchObject({
      encoding: 'utf-8',
      delimiter: ';',
      headingRow: 0,
      lines: 1,
      columns: [
        { field: 'name', sure: true },
        { field: 'purchase-price', decimal: ',', currency: 'EUR', sure: false },
        { field: 'purchased-on', dateOrder: 'dmy', sure: false },
        { field: 'nothing', sure: false, why: 'Its heading is not one we know.' },
      ],
    });
    const choices = { columns: { 1: { decimal: '.' }, 2: { dateOrder: 'mdy' }, 3: { field: 'note' } } };
    expect((await understand(list, choices)).body).toMatchObject({
      columns: [{}, { decimal: '.', sure: true }, { dateOrder: 'mdy' }, { field: 'note' }],
    });
    expect((await plan(list, choices)).body).toMatchObject({
      lines: [
        {
          row: 2,
          does: 'makes-item',
          reason: null,
          facts: { purchase: { minor: 123 }, purchasedOn: '2024-03-04', note: 'a' },
        },
      ],
    });
  });

  test('its plan is read in pages, whole or one kind of line, and nothing is written', async () => {
    const mark = word();
    const list = `Name,Qty\n${Array.from({ length: 7 }, (_, at) => `Peg ${mark} ${at},${at % 2 === 0 ? 1 : 'x'}\n`).join('')}`;
    const pageSchema = z.object({
      lines: z.array(z.object({ row: z.int(), does: z.string(), reason: z.string().nullable() })),
      next: z.int().nullable(),
    });
    const first = pageSchema.parse((await plan(list, {}, '&limit=3')).body);
    expect(first).toMatchObject({
      lines: [
        { row: 2 },
        { row: 3, does: 'refused', reason: 'Qty: “x” is no number; write digits only' },
        { row: 4 },
      ],
      next: 4,
    });
    expect(pageSchema.parse((await plan(list, {}, '&limit=3&after=7')).body)).toMatchObject({
      lines: [{ row: 8 }],
      next: null,
    });
    expect(
      pageSchema.parse((await plan(list, {}, '&does=refused')).body).lines.map((line) => line.row),
    ).toEqual([3, 5, 7]);
    expect(await thingsLike(mark)).toEqual([]);
  });

  test('two columns for one fact are refused with both by name', async () => {
    const answer = await understand('Name,Serial,Other\nLens,1,2\n', {
      columns: { 2: { field: 'serial' }, 1: { field: 'serial' } },
    });
    expect(answer).toMatchObject({
      status: 422,
      body: {
        type: '/problems/contradiction',
        errors: [
          {
            pointer: 'query:/choices/columns/2/field',
            detail: '“Other” and “Serial” both hold the serial; choose one of them',
          },
        ],
      },
    });
  });

  test.each<[string, string | Uint8Array, object, number, string]>([
    ['a picture', Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0, 0, 1), {}, 415, 'not-a-list'],
    ['an open quote', 'a,b\n"c,d\n', {}, 422, 'quote-not-closed'],
    ['nothing', '', {}, 422, 'empty-list'],
    ['only blank rows', '\n ; \n\n', {}, 422, 'empty-list'],
    ['a row without end', `a${','.repeat(300)}\n`, {}, 422, 'too-wide'],
    ['rows without end', 'a\n'.repeat(50_001), {}, 413, 'too-many-rows'],
    ['choices that are none', 'a\n', { columns: { x: {} } }, 400, 'invalid-request'],
    ['a choice nobody knows', 'a\n', { columns: { 0: { field: 'colour' } } }, 400, 'invalid-request'],
  ])('%s is refused', async (_what, file, choices, status, kind) => {
    expect(await understand(file, choices)).toMatchObject({ status, body: { type: `/problems/${kind}` } });
  });

  test('choices that are no JSON, and unknown questions, are refused', async () => {
    for (const path of ['understand?choices=%7B', 'understand?colour=red', 'plan?limit=0']) {
      expect((await ask('POST', `/api/imports/${path}`, bytesOf('Name\nLens\n'))).status).toBe(400);
    }
  });
});

test('any list at all comes in or is refused in words: never a failure of the service', async () => {
  const heading = fc.constantFrom(
    'Name',
    'Tag',
    'Maker',
    'Serial',
    'Qty',
    'Home',
    'Whose',
    'Owner',
    'Bought',
    'Price',
    'Value',
    'Currency',
    'Weight',
    'Country',
    'Unit',
    'Par',
    'Wh',
    'Volt',
    'Ah',
    'Note',
    'Class',
    'Flurb',
    '',
  );
  const cell = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 12 }),
    fc.constantFrom(
      '1',
      '0',
      '-1',
      '1e9',
      '999999999999',
      '1.234,5',
      '31.02.2024',
      '01/02/03',
      'EUR',
      '€5',
      '5 kg',
      '0,0001',
      'a > b',
      ' / ',
      '>',
      "'",
      "'=1",
      '"',
      'ours',
      'client',
      'PT',
      'TC',
      'TC7K3M9Q4X',
      '6291041500213',
      'x'.repeat(400),
      '\u00a0',
      '\ufffd',
      '😀',
    ),
  );
  const list = fc.tuple(
    fc.array(heading, { minLength: 1, maxLength: 8 }),
    fc.array(fc.array(cell, { maxLength: 9 }), { maxLength: 6 }),
  );
  await fc.assert(
    fc.asyncProperty(
      list,
      fc.constantFrom('counted-gear', 'items'),
      async ([headings, rows], numberMakes) => {
        const text = [headings, ...rows].map((row) => writeRecord(row)).join('');
        const { status, text: answered } = await ask(
          'POST',
          `/api/imports${query({ numberMakes })}`,
          bytesOf(text),
        );
        expect([200, 415, 422]).toContain(status);
        if (status === 200)
          expect(JSON.parse(answered.trim().split('\n').at(-1) ?? '')).toHaveProperty('done');
        expect((await plan(text, { numberMakes })).status).toBe(status);
      },
    ),
    { numRuns: 150 },
  );
});

test('ten thousand lines come in, with progress, each with its place', async () => {
  const mark = word();
  const lines = Array.from(
    { length: 10_000 },
    (_, at) =>
      `Thing ${mark} ${at};Reedwork;R${at % 40};${mark}${at};${at % 5 === 4 ? '' : 1};3.4.2021;1.${100 + (at % 900)},50;Shelf ${at % 60} ${mark};Class ${at % 12} ${mark}\n`,
  );
  const done = await bring(`Name;Maker;Model;Serial;Qty;Bought;Value;Home;Class\n${lines.join('')}`);
  expect(done).toMatchObject({
    sums: { lines: 10_000, things: 10_000, refused: 0 },
    classesMade: 12,
    placesMade: 60,
  });
  expect(done.progress.filter((one) => one.step === 'things').map((one) => one.done)).toEqual(
    Array.from({ length: 10 }, (_, at) => (at + 1) * 1_000),
  );
  const [placed] = await service.database.sql`
    select count(*)::int as number from position o join thing t on t.id = o.thing_id join place p on p.id = o.place_id
    where t.name like ${`Thing ${mark}%`} and p.name like ${`Shelf%${mark}`}`;
  expect(placed).toEqual({ number: 10_000 });
});
