// Reads one line of a list, in the sense of its columns, into the facts of a thing.
import { type CodeKind, parseScannedText, readCode } from '../scanned-text.ts';
import { showTag } from '../tag-code.ts';
import type { Money, Whose } from '../thing.ts';
import { cleanCell, meansNothing } from './cell-text.ts';
import { countryOf } from './country.ts';
import { readDate } from './dates.ts';
import type { Field } from './fields.ts';
import { currencyIn, digitsOfCurrency, isCurrency, withoutCurrency } from './money.ts';
import { readNumber, toMinor, toNumber } from './numbers.ts';
import type { Column } from './understand.ts';
import { toGrams, weightUnitIn, withoutWeightUnit } from './weights.ts';
import { whoseOf } from './whose-words.ts';

/** What a line says of a thing. Null is "not said". */
export type LineFacts = {
  readonly name: string;
  readonly maker: string | null;
  readonly model: string | null;
  readonly serial: string | null;
  readonly description: string | null;
  readonly note: string | null;
  readonly className: string | null;
  /** Where it lives, from the outermost: "Shop / Shelf 2" is two names. Empty when not said. */
  readonly home: readonly string[];
  readonly whose: Whose;
  readonly ownerName: string | null;
  readonly purchasedOn: string | null;
  readonly purchase: Money | null;
  readonly purchasedFrom: string | null;
  readonly replacement: Money | null;
  readonly weightGrams: number | null;
  readonly country: string | null;
  readonly unit: string | null;
  readonly par: number | null;
  readonly wattHours: number | null;
  readonly volts: number | null;
  readonly ampereHours: number | null;
  /** How many of it; null when not said. */
  readonly number: number | null;
  readonly code: { readonly kind: CodeKind; readonly code: string } | null;
};

/** A cell that can't be brought in, and what is wrong in words a person can act on. */
export type CellFault = { readonly column: number | null; readonly heading: string; readonly detail: string };

export type LineSense = {
  readonly columns: readonly Column[];
  readonly currency: string;
  readonly countries: ReadonlyMap<string, string>;
};

const NAME_LENGTH_MAX = 300;
const TEXT_LENGTH_MAX = 4_000;
const UNIT_LENGTH_MAX = 40;
const NUMBER_MAX = 1_000_000;
const DECIMAL_MAX = 1_000_000;
const KEPT_DECIMALS = { 'watt-hours': 2, volts: 2, 'ampere-hours': 3 } as const;

/** One cell on its way into the facts: its column and its text, and where to say what is wrong with it. */
type Cell = { readonly column: Column; readonly text: string };
type Reader = {
  readonly sense: LineSense;
  readonly cells: ReadonlyMap<Field, readonly Cell[]>;
  readonly faults: CellFault[];
};

function fault(reader: Reader, cell: Cell, detail: string): null {
  reader.faults.push({ column: cell.column.index, heading: cell.column.heading, detail });
  return null;
}

function short(text: string): string {
  return text.length > 40 ? `${text.slice(0, 39)}…` : text;
}

function collectCells(
  row: readonly string[],
  columns: readonly Column[],
): ReadonlyMap<Field, readonly Cell[]> {
  const cells = new Map<Field, Cell[]>();
  for (const column of columns) {
    const text = cleanCell(row[column.index] ?? '');
    if (column.field === 'nothing' || text === '') continue;
    // A name may well be "X" or "None"; everywhere else these say that there is nothing.
    if (column.field !== 'name' && meansNothing(text)) continue;
    const before = cells.get(column.field);
    if (before === undefined) cells.set(column.field, [{ column, text }]);
    else before.push({ column, text });
  }
  return cells;
}

function cellOf(reader: Reader, field: Field): Cell | null {
  return reader.cells.get(field)?.[0] ?? null;
}

function readWords(reader: Reader, field: Field, lengthMax: number): string | null {
  const cell = cellOf(reader, field);
  if (cell === null) return null;
  const text = cell.text.replace(/\s+/gu, ' ');
  if (text.length > lengthMax)
    return fault(reader, cell, `has ${text.length} characters; shorten it to ${lengthMax}`);
  return isKept(text) ? text : fault(reader, cell, 'holds a character that cannot be kept; write it again');
}

function isKept(text: string): boolean {
  return !text.includes('\u0000') && !/\p{Surrogate}/u.test(text);
}

/** Texts of several columns, one below the other; all but the first with their heading before them. */
function readTexts(reader: Reader, field: Field): string | null {
  const cells = reader.cells.get(field) ?? [];
  const [first] = cells;
  if (first === undefined) return null;
  const text = cells
    .map((cell, at) => (at === 0 ? cell.text : `${cell.column.heading}: ${cell.text}`))
    .join('\n');
  if (text.length > TEXT_LENGTH_MAX)
    return fault(reader, first, `has over ${TEXT_LENGTH_MAX} characters; shorten it`);
  return isKept(text) ? text : fault(reader, first, 'holds a character that cannot be kept; write it again');
}

function readWhole(reader: Reader, field: Field): number | null {
  const cell = cellOf(reader, field);
  if (cell === null) return null;
  // "3 pcs", "3x", "x 3": the words around the number say nothing more.
  const digits = cell.text.replace(/^[x×]\s*|\s*\p{L}+\.?$|\s*[x×]$/giu, '');
  const written = readNumber(digits, cell.column.decimal ?? '.');
  if (written === null) return fault(reader, cell, `“${short(cell.text)}” is no number; write digits only`);
  if (written.negative)
    return fault(reader, cell, `“${short(cell.text)}” is below nothing; write how many there are`);
  if (/[1-9]/.test(written.decimals)) {
    return fault(reader, cell, `“${short(cell.text)}” is a fraction; write a whole number`);
  }
  const number = toNumber({ ...written, decimals: '' });
  return number > NUMBER_MAX
    ? fault(reader, cell, `“${short(cell.text)}” is more than ${NUMBER_MAX}`)
    : number;
}

function readDecimal(reader: Reader, field: keyof typeof KEPT_DECIMALS): number | null {
  const cell = cellOf(reader, field);
  if (cell === null) return null;
  const written = readNumber(cell.text.replace(/\s*(wh|ah|v)$/iu, ''), cell.column.decimal ?? '.');
  if (written === null || written.negative || toNumber(written) > DECIMAL_MAX) {
    return fault(reader, cell, `“${short(cell.text)}” is no number of this kind; write digits only`);
  }
  return Number(toNumber(written).toFixed(KEPT_DECIMALS[field]));
}

function currencyOf(reader: Reader, cell: Cell): string | null {
  const own = currencyIn(cell.text, reader.sense.currency);
  if (own !== null) return own;
  const named = cellOf(reader, 'currency');
  if (named === null) return cell.column.currency ?? reader.sense.currency;
  const code = named.text.toUpperCase();
  const currency = isCurrency(code) ? code : currencyIn(named.text, reader.sense.currency);
  return (
    currency ?? fault(reader, named, `“${short(named.text)}” is no currency; write its code such as EUR`)
  );
}

function readMoney(reader: Reader, field: Field): Money | null {
  const cell = cellOf(reader, field);
  if (cell === null) return null;
  const currency = currencyOf(reader, cell);
  if (currency === null) return null;
  const decimal = cell.column.decimal ?? '.';
  const written = readNumber(withoutCurrency(cell.text), decimal);
  if (written === null) {
    const sign = decimal === '.' ? 'a point' : 'a comma';
    return fault(
      reader,
      cell,
      `“${short(cell.text)}” is no amount with ${sign} before the decimals; correct it or choose the other sign`,
    );
  }
  if (written.negative)
    return fault(reader, cell, `“${short(cell.text)}” is below nothing; write what it costs`);
  const minor = toMinor(written, digitsOfCurrency(currency));
  if (minor === null || minor > 9_000_000_000_000)
    return fault(reader, cell, `“${short(cell.text)}” is too much to be a price`);
  return { minor, currency };
}

function readDay(reader: Reader, field: Field): string | null {
  const cell = cellOf(reader, field);
  if (cell === null) return null;
  const order = cell.column.dateOrder ?? 'dmy';
  const named = order === 'dmy' ? 'day before month' : 'month before day';
  return (
    readDate(cell.text, order) ??
    fault(
      reader,
      cell,
      `“${short(cell.text)}” is no date with the ${named}; write it as 2026-11-25 or choose the other order`,
    )
  );
}

function readWeight(reader: Reader): number | null {
  const cell = cellOf(reader, 'weight');
  if (cell === null) return null;
  const written = readNumber(withoutWeightUnit(cell.text), cell.column.decimal ?? '.');
  if (written === null || written.negative) {
    return fault(reader, cell, `“${short(cell.text)}” is no weight; write a number and g, kg, lb or oz`);
  }
  const grams = toGrams(toNumber(written), weightUnitIn(cell.text) ?? cell.column.weightUnit ?? 'kg');
  return grams > 1_000_000_000 ? fault(reader, cell, `“${short(cell.text)}” is too heavy to be true`) : grams;
}

function readCountry(reader: Reader): string | null {
  const cell = cellOf(reader, 'country');
  if (cell === null) return null;
  return (
    countryOf(cell.text, reader.sense.countries) ??
    fault(
      reader,
      cell,
      `“${short(cell.text)}” is no country we know; write its code of two letters such as PT`,
    )
  );
}

function readTagCell(reader: Reader): LineFacts['code'] {
  const cell = cellOf(reader, 'tag');
  if (cell === null) return null;
  const scanned = parseScannedText(cell.text);
  if (scanned === null)
    return fault(reader, cell, 'is no code that can be kept; write at most 200 characters');
  const read = readCode(scanned, { typed: true });
  if (read.kind !== 'bad-check-characters') return { kind: read.kind, code: read.code };
  const meant = read.candidates.slice(0, 3).map(showTag).join(' or ');
  const hint = meant === '' ? 'look at the label again' : `perhaps ${meant} is meant`;
  return fault(reader, cell, `“${short(cell.text)}” is a tag with a mistake in it; ${hint}`);
}

function readWhose(reader: Reader, ownerName: string | null): Whose {
  const cell = cellOf(reader, 'whose');
  // Somebody else's, with nothing said about how: we have it on loan.
  if (cell === null) return ownerName === null ? 'ours' : 'borrowed';
  const whose = whoseOf(cell.text);
  if (whose !== null) return whose;
  fault(
    reader,
    cell,
    `“${short(cell.text)}” does not say whose it is; write ours, rented in, borrowed or client’s`,
  );
  return 'ours';
}

function readHome(reader: Reader): readonly string[] {
  const home = readWords(reader, 'home', NAME_LENGTH_MAX);
  if (home === null) return [];
  // A slash or an angle with blanks around it separates; "4x4/left" is one name.
  return home
    .split(/\s+[/>›»|]\s+|\s*[>›»]\s*/u)
    .map((name) => name.trim())
    .filter((name) => name !== '');
}

function readName(
  reader: Reader,
  parts: { maker: string | null; model: string | null; description: string | null },
): string {
  const name = readWords(reader, 'name', NAME_LENGTH_MAX);
  if (name !== null) return name;
  // A name that can't be kept has its fault already.
  if (cellOf(reader, 'name') !== null) return '';
  const makerAndModel = [parts.maker, parts.model].filter((part) => part !== null).join(' ');
  const first =
    makerAndModel ||
    (parts.description?.split('\n')[0] ?? '') ||
    (readWords(reader, 'class', NAME_LENGTH_MAX) ?? '');
  if (first !== '') return first.slice(0, NAME_LENGTH_MAX);
  reader.faults.push({
    column: null,
    heading: '',
    detail: 'has no name, maker, model or description; say what it is',
  });
  return '';
}

/**
 * The facts that a row says, each cell in the sense of its column, and every cell that can't be brought in.
 * Amounts are rounded half up to the currency's minor unit, weights to whole grams, watt-hours and volts to two and
 * ampere-hours to three decimals. A line without a name is called by maker and model, else by its description or class.
 */
export function readLine(
  row: readonly string[],
  sense: LineSense,
): { facts: LineFacts; faults: readonly CellFault[] } {
  const reader: Reader = { sense, cells: collectCells(row, sense.columns), faults: [] };
  const maker = readWords(reader, 'maker', NAME_LENGTH_MAX);
  const model = readWords(reader, 'model', NAME_LENGTH_MAX);
  const description = readTexts(reader, 'description');
  const ownerName = readWords(reader, 'owner', NAME_LENGTH_MAX);
  const whose = readWhose(reader, ownerName);
  const facts: LineFacts = {
    name: readName(reader, { maker, model, description }),
    maker,
    model,
    serial: readWords(reader, 'serial', NAME_LENGTH_MAX),
    description,
    note: readTexts(reader, 'note'),
    className: readWords(reader, 'class', 120),
    home: readHome(reader),
    whose,
    ownerName: whose === 'ours' ? null : ownerName,
    purchasedOn: readDay(reader, 'purchased-on'),
    purchase: readMoney(reader, 'purchase-price'),
    purchasedFrom: readWords(reader, 'purchased-from', NAME_LENGTH_MAX),
    replacement: readMoney(reader, 'replacement-value'),
    weightGrams: readWeight(reader),
    country: readCountry(reader),
    unit: readWords(reader, 'unit', UNIT_LENGTH_MAX),
    par: readWhole(reader, 'par'),
    wattHours: readDecimal(reader, 'watt-hours'),
    volts: readDecimal(reader, 'volts'),
    ampereHours: readDecimal(reader, 'ampere-hours'),
    number: readWhole(reader, 'number'),
    code: readTagCell(reader),
  };
  return { facts, faults: reader.faults };
}
