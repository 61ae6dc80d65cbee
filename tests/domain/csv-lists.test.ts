// Whole lists as people keep them: how they are understood, and what bringing them in would do.
import { describe, expect, it } from 'vitest';
import { columnChoiceSchema, type DateOrder, type DecimalSign, type Field } from '#domain/csv/fields.ts';
import { type PlannedLine, planLines, sumPlan } from '#domain/csv/plan-lines.ts';
import { type UnderstandOptions, understandRows } from '#domain/csv/understand.ts';
import { makeTag, showTag } from '#domain/tag-code.ts';
import { decodeFile } from '../../api/imports/decode-file.ts';
import { readRows } from '../../api/imports/read-rows.ts';

type Settings = Partial<Omit<UnderstandOptions, 'delimiter'>>;

function understand(file: string | Uint8Array, settings: Settings = {}) {
  const decoded = decodeFile(typeof file === 'string' ? new TextEncoder().encode(file) : file);
  if (!('text' in decoded)) throw new Error('the file of this test is a text');
  const read = readRows(decoded.text);
  if (!('rows' in read)) throw new Error('the file of this test is a list');
  const options: UnderstandOptions = {
    currency: 'EUR',
    units: 'metric',
    ...settings,
    delimiter: read.delimiter,
  };
  return {
    rows: read.rows,
    encoding: decoded.encoding,
    delimiter: read.delimiter,
    ...understandRows(read.rows, options),
  };
}

type Chosen = {
  readonly known?: readonly string[];
  readonly numberMakes?: 'counted-gear' | 'items';
  readonly currency?: string;
};

function plan(list: ReturnType<typeof understand>, chosen: Chosen = {}): readonly PlannedLine[] {
  const known = new Set(chosen.known ?? []);
  return planLines(list.rows, {
    headingRow: list.headingRow,
    columns: list.columns,
    currency: chosen.currency ?? 'EUR',
    numberMakes: chosen.numberMakes ?? 'counted-gear',
    isKnown: (key) => known.has(key),
  });
}

const fieldsOf = (list: ReturnType<typeof understand>) => list.columns.map((column) => column.field);
const tagOf = (first: number) => {
  const tag = makeTag(Uint8Array.from({ length: 64 }, (_, at) => (at * 37 + first) % 256));
  if (tag === null) throw new Error('sixteen draws give a tag');
  return tag;
};

// Makers and models are invented.
const GERMAN = `Gerät;Hersteller;Modell;Seriennummer;Menge;Kaufdatum;Kaufpreis;Gewicht (kg);Lagerort;Kategorie;Bemerkung
Kamera A;Reiherbau;KB 40;0042-7;1;03.04.2021;"12.499,00 €";2,35;Transporter / Fach 2;Kameras;
Stativ;Moorwerk;Kranich 3;;2;31.12.2019;899,90;7,2;Transporter / Dach;Stative;"Spinne fehlt, bestellt"
XLR-Kabel 5 m;;;;24;;1.234;;Kiste 1;Kabel;
Leuchte;Glimm;L7;k.A.;;15.1.2022;450;-;Kiste 1;Licht;
`;

describe('a German list: semicolons, decimal commas, points in the dates', () => {
  const list = understand(GERMAN);
  const lines = plan(list);

  it('is understood column by column', () => {
    expect(list).toMatchObject({ encoding: 'utf-8', delimiter: ';', headingRow: 0, lines: 4 });
    expect(fieldsOf(list)).toEqual([
      'name',
      'maker',
      'model',
      'serial',
      'number',
      'purchased-on',
      'purchase-price',
      'weight',
      'home',
      'class',
      'note',
    ]);
    expect(list.columns.every((column) => column.sure)).toBe(true);
    expect(list.columns[6]).toMatchObject({
      decimal: ',',
      currency: 'EUR',
      why: 'Its heading says so. “12.499,00 €” shows a comma before the decimals.',
    });
    expect(list.columns[5]).toMatchObject({ dateOrder: 'dmy' });
  });

  it('makes items, counted gear, and reads every amount', () => {
    expect(lines.map((line) => [line.row, line.does, line.number])).toEqual([
      [2, 'makes-item', 1],
      [3, 'makes-counted-gear', 2],
      [4, 'makes-counted-gear', 24],
      [5, 'makes-item', 1],
    ]);
    expect(lines[0]?.facts).toMatchObject({
      name: 'Kamera A',
      maker: 'Reiherbau',
      model: 'KB 40',
      serial: '0042-7',
      purchasedOn: '2021-04-03',
      purchase: { minor: 1_249_900, currency: 'EUR' },
      weightGrams: 2350,
      home: ['Transporter', 'Fach 2'],
      className: 'Kameras',
      whose: 'ours',
    });
    expect(lines[1]?.facts).toMatchObject({
      note: 'Spinne fehlt, bestellt',
      purchase: { minor: 89_990, currency: 'EUR' },
    });
    // In this column the comma stands before the decimals, so 1.234 is over a thousand.
    expect(lines[2]?.facts.purchase).toEqual({ minor: 123_400, currency: 'EUR' });
    expect(lines[3]?.facts).toMatchObject({ serial: null, weightGrams: null, number: null });
  });
});

describe('a French list saved as Windows-1252', () => {
  const text =
    'Désignation;Marque;N° de série;Qté;Date d’achat;Prix d’achat;Emplacement\r\nCâble vidéo “court”;Lumière d’eau;;12;07/02/2023;8,50 €;Bateau\r\nProjecteur;Lumière d’eau;É-77;1;12 août 2021;1 250,00 €;Bateau\r\n';
  const windows = Buffer.from(
    text.replaceAll('’', '\x92').replaceAll('“', '\x93').replaceAll('”', '\x94').replaceAll('€', '\x80'),
    'latin1',
  );
  const list = understand(windows);

  it('is read with its accents, quotes and currency', () => {
    expect(list).toMatchObject({ encoding: 'windows-1252', delimiter: ';' });
    expect(fieldsOf(list)).toEqual([
      'name',
      'maker',
      'serial',
      'number',
      'purchased-on',
      'purchase-price',
      'home',
    ]);
    expect(plan(list).map((line) => line.facts)).toMatchObject([
      {
        name: 'Câble vidéo “court”',
        maker: 'Lumière d’eau',
        number: 12,
        purchasedOn: '2023-02-07',
        purchase: { minor: 850, currency: 'EUR' },
      },
      {
        name: 'Projecteur',
        serial: 'É-77',
        purchasedOn: '2021-08-12',
        purchase: { minor: 125_000, currency: 'EUR' },
      },
    ]);
  });

  it('says that nothing shows which of 07/02 is the day', () => {
    expect(list.columns[4]).toMatchObject({
      dateOrder: 'dmy',
      sure: false,
      why: 'Its heading says so. Nothing shows what “07/02/2023” means; taken as day before month.',
    });
  });
});

describe('a tab list with titles above and numbered lines', () => {
  const list = understand(
    'Our gear, spring\t\t\t\n\t\t\t\nNo.\tItem\tMake\tWeight\tValue\tBought\n1\tHide tent\tReedwork\t4.5 lb\t$1,234.50\t12/31/2022\n2\tWaders\t\t\t$90\t3/4/23\n\n3\tPaddle\t\t900 g\t$1,300\t1/2/2020\n',
    { currency: 'USD', units: 'imperial' },
  );

  it('finds the headings and does not take the line numbers for codes', () => {
    expect(list).toMatchObject({ headingRow: 2, delimiter: '\t', lines: 3 });
    expect(fieldsOf(list)).toEqual([
      'nothing',
      'name',
      'maker',
      'weight',
      'replacement-value',
      'purchased-on',
    ]);
  });

  it('reads month before day because one cell shows it', () => {
    expect(
      plan(list, { currency: 'USD' }).map((line) => [
        line.row,
        line.facts.purchasedOn,
        line.facts.replacement?.minor,
        line.facts.weightGrams,
      ]),
    ).toEqual([
      [4, '2022-12-31', 123_450, 2041],
      [5, '2023-03-04', 9_000, null],
      [7, '2020-01-02', 130_000, 900],
    ]);
  });
});

describe('what 03/04 and 1.234 mean', () => {
  const cases: readonly [string, string, Settings, DateOrder, boolean][] = [
    ['a day above twelve decides', 'Name,Bought\na,03/04/2024\nb,25/04/2024\n', {}, 'dmy', true],
    ['a second number above twelve decides', 'Name,Bought\na,03/04/2024\nb,04/25/2024\n', {}, 'mdy', true],
    ['nothing decides, euros', 'Name,Bought\na,03/04/2024\n', {}, 'dmy', false],
    ['nothing decides, dollars', 'Name,Bought\na,03/04/2024\n', { currency: 'USD' }, 'mdy', false],
    ['as many say one as the other', 'Name,Bought\na,25/04/2024\nb,04/25/2024\n', {}, 'dmy', false],
  ];
  it.each(cases)('dates: %s', (_what, text, settings, dateOrder, sure) => {
    const list = understand(text, settings);
    expect(list.columns[1]).toMatchObject({ field: 'purchased-on', dateOrder, sure });
  });

  const amounts: readonly [string, string, DecimalSign, boolean, readonly (number | null)[]][] = [
    ['a comma elsewhere in the column', 'Name;Price\na;1.234\nb;2,50\n', ',', true, [123_400, 250]],
    ['a point elsewhere in the column', 'Name;Price\na;1.234\nb;2.50\n', '.', true, [123, 250]],
    ['another column', 'Name;Price;Weight kg\na;1.234;2,5\n', ',', true, [123_400]],
    ['nothing: an amount has no three decimals', 'Name,Price\na,1.234\n', ',', false, [123_400]],
    ['nothing, with the other sign', 'Name;Price\na;1,234\n', '.', false, [123_400]],
  ];
  it.each(amounts)('amounts: %s', (_what, text, decimal, sure, minors) => {
    const list = understand(text);
    expect(list.columns[1]).toMatchObject({ field: 'purchase-price', decimal, sure });
    expect(plan(list).map((line) => line.facts.purchase?.minor ?? null)).toEqual(minors);
  });

  it('is what a person chose, also against the list; a cell that does not fit is refused in words', () => {
    const list = understand('Name;Price;Bought\na;1.234,50;25/04/2024\n');
    const columns = list.columns.map((column) => ({
      ...column,
      ...(column.field === 'purchase-price' ? { decimal: '.' as const } : {}),
      ...(column.field === 'purchased-on' ? { dateOrder: 'mdy' as const } : {}),
    }));
    expect(plan({ ...list, columns })).toMatchObject([
      {
        does: 'refused',
        faults: [
          {
            column: 2,
            heading: 'Bought',
            detail:
              '“25/04/2024” is no date with the month before day; write it as 2026-11-25 or choose the other order',
          },
          {
            column: 1,
            heading: 'Price',
            detail:
              '“1.234,50” is no amount with a point before the decimals; correct it or choose the other sign',
          },
        ],
      },
    ]);
  });
});

describe('how many', () => {
  it.each<[string, string, 'counted-gear' | 'items', string, number]>([
    ['a number makes counted gear', 'Name,Qty\nSandbag,12\n', 'counted-gear', 'makes-counted-gear', 12],
    ['or that many items, by choice', 'Name,Qty\nSandbag,12\n', 'items', 'makes-items', 12],
    ['one is an item', 'Name,Qty\nLens,1\n', 'counted-gear', 'makes-item', 1],
    ['nothing said is one', 'Name,Qty\nLens,\n', 'counted-gear', 'makes-item', 1],
    ['with words around it', 'Name,Qty\nSandbag,12 pcs\n', 'counted-gear', 'makes-counted-gear', 12],
    ['three x', 'Name,Qty\nSandbag,3x\n', 'counted-gear', 'makes-counted-gear', 3],
    [
      'a unit makes a consumable',
      'Name,Qty,Unit,Par\nTape,6,roll,10\n',
      'counted-gear',
      'makes-consumable',
      6,
    ],
    ['none is refused', 'Name,Qty\nLens,0\n', 'counted-gear', 'refused', 0],
    ['below nothing is refused', 'Name,Qty\nLens,-2\n', 'counted-gear', 'refused', 1],
    ['a fraction is refused', 'Name,Qty\nLens,1.5\n', 'counted-gear', 'refused', 1],
    ['a word is refused', 'Name,Qty\nLens,several things\n', 'counted-gear', 'refused', 1],
    ['one serial for two is refused', 'Name,Qty,Serial\nLens,2,A1\n', 'counted-gear', 'refused', 2],
    ['too many items of one line are refused', 'Name,Qty\nCable,501\n', 'items', 'refused', 501],
  ])('%s', (_what, text, numberMakes, does, number) => {
    expect(plan(understand(text), { numberMakes })).toMatchObject([{ does, number }]);
  });
});

it('one list makes at most fifty thousand items; what is beyond is refused, counted gear is not', () => {
  const list = understand(
    `Name,Qty\n${Array.from({ length: 102 }, (_, at) => `Cable ${at},500\n`).join('')}`,
  );
  expect(sumPlan(plan(list, { numberMakes: 'items' }))).toMatchObject({
    'makes-items': 100,
    refused: 2,
    things: 50_000,
  });
  expect(sumPlan(plan(list))).toMatchObject({ 'makes-counted-gear': 102, refused: 0 });
});

describe('the key of a line', () => {
  const keysOfList = (text: string) => plan(understand(text)).map((line) => line.key);

  it('is its tag, however it is written', () => {
    const tag = tagOf(3);
    expect(keysOfList(`Name,Tag\nLens,${showTag(tag).toLowerCase()}\n`)).toEqual([`code:${tag}`]);
  });

  it('is else maker, model and serial, whatever the dashes, and whatever else changes', () => {
    const [first] = keysOfList('Name,Maker,Model,Serial\nLens,Reed,R5,00-427\n');
    expect(first).toMatch(/^serial:/);
    expect(keysOfList('Serial,Model,Maker,Name,Price\n00427,r5,REED,Long lens,12.50\n')).toEqual([first]);
    expect(keysOfList('Name,Maker,Model,Serial\nLens,Reed,R6,00-427\n')).not.toEqual([first]);
  });

  it('is else its cells and which of its like it is', () => {
    const keys = keysOfList('Name,Price\nSandbag,5.50\nSandbag,5.50\nSandbag,55.0\n');
    expect(new Set(keys).size).toBe(3);
    expect(keysOfList('Price,Name,Note\n5.50, sandbag ,\n55.0,Sandbag,\n5.50,Sandbag,\n')).toEqual([
      keys[0],
      keys[2],
      keys[1],
    ]);
  });

  it('makes the same file twice change nothing', () => {
    const list = understand(GERMAN);
    const known = plan(list).map((line) => line.key);
    const again = plan(list, { known });
    expect(again.map((line) => line.does)).toEqual(Array(4).fill('already-known'));
    expect(sumPlan(again)).toMatchObject({ lines: 4, 'already-known': 4, things: 0 });
  });

  it('refuses a tag or serial that stands twice, and names the first row', () => {
    const tag = tagOf(9);
    const lines = plan(
      understand(`Name,Tag,Serial,Maker\nA,${tag},,\nB,${tag},,\nC,,77,Reed\nD,,7-7,Reed\n`),
    );
    expect(lines.map((line) => line.does)).toEqual(['makes-item', 'refused', 'makes-item', 'refused']);
    expect(lines.map((line) => line.faults[0]?.detail)).toEqual([
      undefined,
      'has the same tag or serial number as row 2; correct one of the two',
      undefined,
      'has the same maker, model and serial number as row 4; correct one of the two',
    ]);
  });

  it('is not a product number: several things share it', () => {
    // GTIN-13 of the GS1 Hong Kong worked example.
    const lines = plan(understand('Name,Barcode\nClamp,6291041500213\nClamp,6291041500213\n'));
    expect(lines.map((line) => [line.does, line.facts.code])).toEqual(
      Array(2).fill(['makes-item', { kind: 'gtin', code: '06291041500213' }]),
    );
  });
});

describe('cells that do not fit', () => {
  it('a mistyped tag names the one that is meant', () => {
    const tag = tagOf(5);
    const at = [2, 3, 4, 5, 6].find((place) => tag.charAt(place) !== tag.charAt(place + 1)) ?? 7;
    const wrong = `${tag.slice(0, at)}${tag.charAt(at + 1)}${tag.charAt(at)}${tag.slice(at + 2)}`;
    const [line] = plan(understand(`Name,Tag\nLens,${wrong}\n`));
    expect(line?.does).toBe('refused');
    expect(line?.faults[0]?.detail).toContain(showTag(tag));
  });

  it.each([
    [
      'a country nobody knows',
      'Name,Country\nLens,Atlantis\n',
      '“Atlantis” is no country we know; write its code of two letters such as PT',
    ],
    [
      'a currency nobody knows',
      'Name,Price,Currency\nLens,5,shells\n',
      '“shells” is no currency; write its code such as EUR',
    ],
    ['a price below nothing', 'Name,Price\nLens,-5\n', '“-5” is below nothing; write what it costs'],
    [
      'a weight in words',
      'Name,Weight kg\nLens,heavy\n',
      '“heavy” is no weight; write a number and g, kg, lb or oz',
    ],
    [
      'whose, unclear',
      'Name,Whose\nLens,dunno\n',
      '“dunno” does not say whose it is; write ours, rented in, borrowed or client’s',
    ],
    ['nothing that names it', 'Name,Price\n,5\n', 'has no name, maker, model or description; say what it is'],
    ['a name without end', `Name,Price\n${'x'.repeat(301)},5\n`, 'has 301 characters; shorten it to 300'],
  ])('%s is refused in words', (_what, text, detail) => {
    expect(plan(understand(text))).toMatchObject([{ does: 'refused', faults: [{ detail }] }]);
  });

  it('never loses the lines around it', () => {
    const lines = plan(understand('Name,Price\nLens,12.50\nStand,free\nClamp,3.20\n'));
    expect(lines.map((line) => line.does)).toEqual(['makes-item', 'refused', 'makes-item']);
  });

  it('serials that look like formulas are kept as they are', () => {
    const lines = plan(understand("Name,Serial\nA,-123\nB,'-123x\nC,+4411\n"));
    expect(lines.map((line) => line.facts.serial)).toEqual(['-123', '-123x', '+4411']);
  });
});

describe('a list without headings', () => {
  it('is read by its cells', () => {
    const list = understand(`${tagOf(1)};Fernglas;7\n${tagOf(77)};Tarnzelt groß;8\n`);
    expect(list.headingRow).toBe(-1);
    expect(fieldsOf(list)).toEqual<Field[]>(['tag', 'name', 'nothing']);
    expect(plan(list).map((line) => line.facts.name)).toEqual(['Fernglas', 'Tarnzelt groß']);
  });
});

it('a choice of columns from outside is taken only in its own words', () => {
  expect(columnChoiceSchema.parse({ field: 'purchase-price', decimal: ',' })).toEqual({
    field: 'purchase-price',
    decimal: ',',
    dateOrder: null,
    currency: null,
    weightUnit: null,
  });
  for (const wrong of [
    { field: 'colour' },
    { field: 'name', decimal: ';' },
    { field: 'name', dateOrder: 'ymd' },
    { field: 'name', more: 1 },
  ]) {
    expect(columnChoiceSchema.safeParse(wrong).success).toBe(false);
  }
});
