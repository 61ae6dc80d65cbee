// From bytes to rows: encodings, what separates the cells, RFC 4180.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanCell, neutralise, writeRecord } from '#domain/csv/cell-text.ts';
import { guessDelimiter } from '#domain/csv/delimiter.ts';
import { decodeFile } from '../../api/imports/decode-file.ts';
import { readRows } from '../../api/imports/read-rows.ts';
import injection from '../check-values/csv-injection.json' with { type: 'json' };
import rfc4180 from '../check-values/rfc4180.json' with { type: 'json' };

const bytesOf = (text: string) => new TextEncoder().encode(text);

describe(`rows as ${rfc4180.source} writes them`, () => {
  it.each(rfc4180.cases.filter((row) => row.rows !== undefined && row.csv !== ',"",\r\n'))(
    '$name',
    ({ csv, rows }) => {
      const decoded = decodeFile(bytesOf(csv));
      if (!('text' in decoded)) throw new Error('these bytes are a text');
      expect(readRows(decoded.text, ',')).toEqual({ rows, delimiter: ',' });
    },
  );

  it('a quote inside a plain cell is outside the grammar and kept as written: it means inches', () => {
    expect(readRows('name,note\nMonitor 14",a\n')).toMatchObject({
      rows: [
        ['name', 'note'],
        ['Monitor 14"', 'a'],
      ],
    });
  });

  it('an open quote is refused with its row', () => {
    expect(readRows('a,b\r\n"c,d\r\n')).toEqual({ refusal: { kind: 'quote-not-closed', row: 2 } });
  });

  it('every table written by us is read back as it was, whatever is in its cells', () => {
    const cell = fc.string({
      unit: fc.constantFrom('a', '"', ',', ';', '\n', '\r', ' ', "'", '=', 'é', '\t'),
    });
    const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(table, fc.constantFrom(',' as const, ';' as const, '\t' as const), (rows, delimiter) => {
        fc.pre(rows.some((row) => row.some((text) => text.trim() !== '')));
        const text = rows.map((row) => writeRecord(row, delimiter)).join('');
        expect(readRows(text, delimiter)).toEqual({ rows, delimiter });
      }),
      { numRuns: 1_000 },
    );
  });
});

describe('the encoding', () => {
  const text = 'Gerät;Préis\r\nKäfig “groß” – 5 €;12,50';
  const utf16 = (order: 'le' | 'be') => {
    const bytes = Buffer.from(`\ufeff${text}`, 'utf16le');
    return order === 'le' ? bytes : bytes.swap16();
  };
  // Bytes by hand from the table of Windows-1252 (WHATWG Encoding, index windows-1252): “ 93, ” 94, – 96, € 80, ä E4, ß DF, é E9.
  const windows = Buffer.from(
    text.replaceAll('“', '\x93').replaceAll('”', '\x94').replaceAll('–', '\x96').replaceAll('€', '\x80'),
    'latin1',
  );
  it.each([
    ['utf-8', bytesOf(text)],
    ['utf-8-bom', bytesOf(`\ufeff${text}`)],
    ['utf-16le', utf16('le')],
    ['utf-16be', utf16('be')],
    ['windows-1252', windows],
  ])('%s is found out and read', (encoding, bytes) => {
    expect(decodeFile(bytes)).toEqual({ text, encoding });
  });

  it('a picture is no list', () => {
    expect(decodeFile(Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 0x0d))).toEqual({
      refusal: { kind: 'not-a-list' },
    });
  });

  it('any bytes at all get an answer', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        const decoded = decodeFile(bytes);
        if ('text' in decoded) readRows(decoded.text);
        expect(['text', 'refusal'].some((key) => key in decoded)).toBe(true);
      }),
      { numRuns: 1_000 },
    );
  });
});

describe('what separates the cells', () => {
  it.each([
    ['a comma', 'Name,Maker\nReed lens,Marshlight\n', ','],
    ['a semicolon with decimal commas', 'Name;Preis\nStativ;12,50\nKabel;3,20\n', ';'],
    ['a semicolon with commas in every name', 'Name;Preis\nStativ, groß;12,50\nKabel, lang;3,20\n', ';'],
    ['a tab in text with commas', 'Name\tNote\nLens, old\ta, b, c\nStand\tx\n', '\t'],
    ['quoted cells with the other sign', '"a;b","c;d"\n"e;f","g;h"\n"i;j;k","l"\n', ','],
    ['inch marks that are no quotes', 'Name;Size\nMonitor 14";a\nMonitor 17";b\n', ';'],
    ['nothing: one column', 'Name\nLens\n', ','],
  ])('%s', (_what, text, delimiter) => {
    expect(guessDelimiter(text)).toBe(delimiter);
  });

  it('is what the file says in its first line', () => {
    expect(readRows('sep=;\r\na,b;c\r\n')).toEqual({ rows: [['a,b', 'c']], delimiter: ';' });
  });
});

describe(`cells that a spreadsheet would run (${injection.sources[0]})`, () => {
  it.each(injection.examples)('$input is written $escaped', ({ input, escaped }) => {
    expect(writeRecord([neutralise(input)])).toBe(`${escaped}\r\n`);
  });

  it.each([...injection.triggers.map((trigger) => trigger.slice(0, 1)), '＝', '＋', '－', '＠'])(
    '%j gets an apostrophe',
    (sign) => {
      expect(neutralise(`${sign}1`)).toBe(`'${sign}1`);
    },
  );

  it.each(['-123', '+4411', '@wrap', "'quoted", '=1+2', 'plain'])('%s comes back as it was', (text) => {
    expect(cleanCell(neutralise(text))).toBe(text);
  });
});
