// From the text of a list to its rows and cells (RFC 4180, read leniently).
import { CsvError, parse } from 'csv-parse/sync';
import { type Delimiter, delimiterSchema, guessDelimiter } from '#domain/csv/delimiter.ts';

export const ROWS_MAX = 50_000;
export const CELLS_PER_ROW_MAX = 200;

/**
 * quote-not-closed: a quote opens a cell in row `row` (from 1) and nothing closes it. too-many-rows, too-wide: beyond
 * what one file may hold. empty-list: nothing but blank rows.
 */
export type RowsRefusal =
  | { readonly kind: 'quote-not-closed'; readonly row: number }
  | { readonly kind: 'too-many-rows'; readonly rows: number }
  | { readonly kind: 'too-wide'; readonly row: number }
  | { readonly kind: 'empty-list' };
export type RowsRead =
  | { readonly rows: readonly (readonly string[])[]; readonly delimiter: Delimiter }
  | { readonly refusal: RowsRefusal };

// Spreadsheets write this as a first line to say what separates the cells.
const SAID_DELIMITER = /^"?sep=(.)"?(\r\n|\r|\n)/i;

/**
 * Reads the rows. `delimiter` may be given by a person, else it is said by the file ("sep=;") or guessed. Rows may be
 * of different lengths and blank; a quote inside a cell that is not quoted is kept as written, and so is text behind a
 * closing quote, because people write 14" and mean inches.
 */
export function readRows(text: string, chosen: Delimiter | null = null): RowsRead {
  const said = SAID_DELIMITER.exec(text);
  const body = said === null ? text : text.slice(said[0].length);
  const saidDelimiter = delimiterSchema.safeParse(said?.[1]);
  const delimiter = chosen ?? (saidDelimiter.success ? saidDelimiter.data : guessDelimiter(body));
  const parsed = parseRows(body, delimiter);
  if ('refusal' in parsed) return parsed;
  const { rows } = parsed;
  if (rows.every((row) => row.every((cell) => cell.trim() === '')))
    return { refusal: { kind: 'empty-list' } };
  if (rows.length > ROWS_MAX) return { refusal: { kind: 'too-many-rows', rows: rows.length } };
  const wide = rows.findIndex((row) => row.length > CELLS_PER_ROW_MAX);
  return wide < 0 ? { rows, delimiter } : { refusal: { kind: 'too-wide', row: wide + 1 } };
}

function parseRows(text: string, delimiter: Delimiter): { rows: string[][] } | { refusal: RowsRefusal } {
  try {
    const rows = parse(text, {
      delimiter,
      relax_quotes: true,
      relax_column_count: true,
      skip_empty_lines: false,
      record_delimiter: ['\r\n', '\n', '\r'],
    });
    return { rows };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const records = 'records' in error && typeof error.records === 'number' ? error.records : 0;
    return { refusal: { kind: 'quote-not-closed', row: records + 1 } };
  }
}
