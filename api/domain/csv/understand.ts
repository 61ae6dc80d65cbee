// How a list is understood: where its headings are, what each column holds, what 1.234 and 03/04 mean in it.
import { parseTag } from '../tag-code.ts';
import { cleanCell, meansNothing } from './cell-text.ts';
import { dateOrderOf } from './dates.ts';
import type { Delimiter } from './delimiter.ts';
import {
  CELL_KIND_OF,
  type ColumnChange,
  type ColumnChoice,
  type DateOrder,
  type DecimalSign,
  FIELDS_SHARED,
  type Field,
  type WeightUnit,
} from './fields.ts';
import { fieldOfHeading } from './headings.ts';
import { currencyIn, withoutCurrency } from './money.ts';
import { decimalSignOf } from './numbers.ts';
import { weightUnitIn, withoutWeightUnit } from './weights.ts';

/** A record is a row of the spreadsheet: its cells as text. */
export type Rows = readonly (readonly string[])[];

export type Column = ColumnChoice & {
  /** Place in the row, from 0. */
  readonly index: number;
  readonly heading: string;
  /** The first cells that hold something, as written. */
  readonly samples: readonly string[];
  /** How many of the lines have something in it. */
  readonly filled: number;
  /** In a sentence: why the column is understood like this. */
  readonly why: string;
  /** False where a person should look: nothing in the list decides. */
  readonly sure: boolean;
};

export type Understanding = {
  /** The row of the headings, from 0; -1 for a list without. */
  readonly headingRow: number;
  readonly columns: readonly Column[];
  /** Rows below the headings that hold anything. */
  readonly lines: number;
};

/** What a person chose for some columns, by their index; the rest is guessed. */
export type Chosen = ReadonlyMap<number, ColumnChange>;
const NOTHING_CHOSEN: Chosen = new Map();

export type UnderstandOptions = {
  readonly delimiter: Delimiter;
  /** The outfit's currency (ISO 4217), for amounts that name none. */
  readonly currency: string;
  /** Whether weights without a unit are kilograms or pounds. */
  readonly units: 'metric' | 'imperial';
};

const ROWS_SEARCHED_FOR_HEADINGS_MAX = 15;
const SAMPLES_MAX = 5;

function isBlank(row: readonly string[]): boolean {
  return row.every((cell) => cleanCell(cell) === '');
}

/** The row, of the first fifteen, in which most cells are headings we know; one is enough in the first that holds anything. */
export function findHeadingRow(rows: Rows): number {
  let best = -1;
  let bestKnown = 0;
  let filledBefore = 0;
  for (const [at, row] of rows.slice(0, ROWS_SEARCHED_FOR_HEADINGS_MAX).entries()) {
    if (isBlank(row)) continue;
    const cells = row.map(cleanCell);
    const known = cells.filter((cell) => cell !== '' && fieldOfHeading(cell).match !== 'none').length;
    const enough = known >= 2 || (known === 1 && filledBefore === 0);
    if (enough && known > bestKnown) {
      best = at;
      bestKnown = known;
    }
    filledBefore += 1;
  }
  return best;
}

type Guess = { readonly field: Field; readonly why: string; readonly sure: boolean };

function countsLines(cells: readonly string[]): boolean {
  return (
    cells.length > 1 &&
    cells.every((cell, at) => /^\d+$/.test(cell) && Number(cell) === Number(cells[0]) + at)
  );
}

function guessByHeading(heading: string, cells: readonly string[], taken: ReadonlySet<Field>): Guess {
  const { field, match } = fieldOfHeading(heading);
  if (field === 'nothing') {
    return {
      field,
      why: heading === '' ? 'It has no heading.' : 'Its heading is not one we know.',
      sure: false,
    };
  }
  if (field === 'tag' && countsLines(cells)) {
    return { field: 'nothing', why: 'It only counts the lines.', sure: true };
  }
  if (taken.has(field) && !FIELDS_SHARED.includes(field)) {
    return field === 'name'
      ? { field: 'description', why: 'Another column has the name already.', sure: false }
      : {
          field: 'nothing',
          why: `Another column holds the ${field.replaceAll('-', ' ')} already.`,
          sure: false,
        };
  }
  const why = match === 'exact' ? 'Its heading says so.' : 'Its heading begins so.';
  return { field, why, sure: match === 'exact' };
}

function guessByCells(cells: readonly string[], taken: ReadonlySet<Field>): Guess {
  const tags = cells.filter((cell) => 'tag' in parseTag(cell)).length;
  if (tags * 2 > cells.length && !taken.has('tag')) {
    return { field: 'tag', why: 'Most of its cells are tags of ours.', sure: true };
  }
  const words = cells.filter((cell) => /\p{L}{3}/u.test(cell)).length;
  if (words * 2 > cells.length && !taken.has('name')) {
    return { field: 'name', why: 'There are no headings, and it is the first column of words.', sure: false };
  }
  return { field: 'nothing', why: 'There are no headings.', sure: false };
}

/** What most of those that are clear say; null where none is, or as many say one as the other. */
function mostOf<T extends string>(said: readonly (T | null)[]): T | null {
  const times = new Map<T, number>();
  for (const one of said) if (one !== null) times.set(one, (times.get(one) ?? 0) + 1);
  const [first, second] = [...times].sort((a, b) => b[1] - a[1]);
  if (first === undefined || first[1] === second?.[1]) return null;
  return first[0];
}

type Senses = Pick<ColumnChoice, 'decimal' | 'dateOrder' | 'currency' | 'weightUnit'>;
const NO_SENSES: Senses = { decimal: null, dateOrder: null, currency: null, weightUnit: null };
type Sensed = { readonly senses: Senses; readonly why: string; readonly sure: boolean };

function numberCell(cell: string): string {
  return withoutWeightUnit(withoutCurrency(cell));
}

function isNumeric(field: Field): boolean {
  const kind = CELL_KIND_OF[field];
  return kind === 'money' || kind === 'decimal' || kind === 'weight' || kind === 'whole';
}

type WholeList = { readonly decimal: DecimalSign | null; readonly dateOrder: DateOrder | null };

/** What the clear cells of all columns together say, for columns in which no cell is clear. */
function lookAtWholeList(guessed: readonly { guess: Guess; cells: readonly string[] }[]): WholeList {
  const numbers = guessed.filter(({ guess }) => isNumeric(guess.field)).flatMap(({ cells }) => cells);
  const dates = guessed
    .filter(({ guess }) => CELL_KIND_OF[guess.field] === 'date')
    .flatMap(({ cells }) => cells);
  return {
    decimal: mostOf(numbers.map((cell) => decimalSignOf(numberCell(cell)))),
    dateOrder: mostOf(dates.map(dateOrderOf)),
  };
}

function senseDecimal(cells: readonly string[], field: Field, list: WholeList, options: UnderstandOptions) {
  const clear = cells.find((cell) => decimalSignOf(numberCell(cell)) !== null);
  const own = mostOf(cells.map((cell) => decimalSignOf(numberCell(cell))));
  const named = (sign: DecimalSign) => (sign === '.' ? 'a point' : 'a comma');
  if (own !== null)
    return { decimal: own, why: `“${clear}” shows ${named(own)} before the decimals.`, sure: true };
  if (list.decimal !== null) {
    return {
      decimal: list.decimal,
      why: `Other columns write ${named(list.decimal)} before the decimals.`,
      sure: true,
    };
  }
  const unclear = cells.find((cell) => /[.,]/.test(numberCell(cell)));
  // An amount such as 1.234 has no three decimals: its sign groups thousands, so the other one is the decimal sign.
  const groupedBy =
    unclear === undefined || CELL_KIND_OF[field] !== 'money' ? null : numberCell(unclear).match(/[.,]/)?.[0];
  const custom: DecimalSign = options.delimiter === ';' ? ',' : '.';
  const decimal: DecimalSign =
    groupedBy === undefined || groupedBy === null ? custom : groupedBy === '.' ? ',' : '.';
  return unclear === undefined
    ? { decimal, why: '', sure: true }
    : {
        decimal,
        why: `Nothing shows what “${unclear}” means; taken with ${named(decimal)} before the decimals.`,
        sure: false,
      };
}

function senseDate(cells: readonly string[], list: WholeList, options: UnderstandOptions): Sensed {
  const own = mostOf(cells.map(dateOrderOf));
  const unclear = cells.find((cell) => /^\d{1,2}[/\- .]\d{1,2}[/\- .]\d{2,4}/.test(cell));
  const dateOrder = own ?? list.dateOrder ?? (options.currency === 'USD' ? 'mdy' : 'dmy');
  const named = dateOrder === 'dmy' ? 'day before month' : 'month before day';
  const senses = { ...NO_SENSES, dateOrder };
  if (unclear === undefined) return { senses, why: '', sure: true };
  if (own !== null) {
    const clear = cells.find((cell) => dateOrderOf(cell) === own);
    return { senses, why: `“${clear}” shows the ${named}.`, sure: true };
  }
  return list.dateOrder === null
    ? { senses, why: `Nothing shows what “${unclear}” means; taken as ${named}.`, sure: false }
    : { senses, why: `Other columns write the ${named}.`, sure: true };
}

function sense(
  column: { readonly heading: string; readonly cells: readonly string[]; readonly field: Field },
  list: WholeList,
  options: UnderstandOptions,
): Sensed {
  const { heading, cells, field } = column;
  if (CELL_KIND_OF[field] === 'date') return senseDate(cells, list, options);
  if (!isNumeric(field)) return { senses: NO_SENSES, why: '', sure: true };
  const { decimal, why, sure } = senseDecimal(cells, field, list, options);
  if (CELL_KIND_OF[field] === 'money') {
    const currency =
      currencyIn(heading, options.currency) ??
      mostOf(cells.map((cell) => currencyIn(cell, options.currency))) ??
      options.currency;
    return { senses: { ...NO_SENSES, decimal, currency }, why, sure };
  }
  if (CELL_KIND_OF[field] === 'weight') {
    const custom: WeightUnit = options.units === 'metric' ? 'kg' : 'lb';
    const unit = weightUnitIn(heading) ?? mostOf(cells.map(weightUnitIn));
    return {
      senses: { ...NO_SENSES, decimal, weightUnit: unit ?? custom },
      why: unit === null ? `${why} No unit is written; taken as ${custom}.`.trim() : why,
      sure: sure && unit !== null,
    };
  }
  return { senses: { ...NO_SENSES, decimal }, why, sure };
}

const CHOSEN = 'Somebody chose so.';

function guessColumn(
  column: { readonly heading: string; readonly cells: readonly string[] },
  headingRow: number,
  taken: ReadonlySet<Field>,
): Guess {
  return headingRow < 0
    ? guessByCells(column.cells, taken)
    : guessByHeading(column.heading, column.cells, taken);
}

/** A sense that a person chose stands against what the cells say; one that the field does not have stays away. */
function withChoice(sensed: Sensed, choice: ColumnChange | undefined): Sensed {
  if (choice === undefined) return sensed;
  const { senses } = sensed;
  const chosen: Senses = {
    decimal: senses.decimal === null ? null : (choice.decimal ?? senses.decimal),
    dateOrder: senses.dateOrder === null ? null : (choice.dateOrder ?? senses.dateOrder),
    currency: senses.currency === null ? null : (choice.currency ?? senses.currency),
    weightUnit: senses.weightUnit === null ? null : (choice.weightUnit ?? senses.weightUnit),
  };
  const isChanged =
    (choice.decimal ?? choice.dateOrder ?? choice.currency ?? choice.weightUnit ?? null) !== null;
  return isChanged ? { senses: chosen, why: CHOSEN, sure: true } : sensed;
}

function cellsBelow(rows: Rows, headingRow: number, index: number): readonly string[] {
  return rows
    .slice(headingRow + 1)
    .map((row) => cleanCell(row[index] ?? ''))
    .filter((cell) => cell !== '' && !meansNothing(cell));
}

/**
 * Decides what each column of the list holds and how its numbers and dates are to be read: by its heading, else (in a
 * list without headings) by its cells; numbers and dates by the cells that are clear, of the column first, then of the
 * whole list; where nothing is clear, by custom, and then `sure` is false. `headingRow` may be given by a person
 * (-1: there is none), else it is found; so may anything of a column (`chosen`), which then stands.
 */
export function understandRows(
  rows: Rows,
  options: UnderstandOptions,
  headingRow: number = findHeadingRow(rows),
  chosen: Chosen = NOTHING_CHOSEN,
): Understanding {
  const width = rows.reduce((widest, row) => Math.max(widest, row.length), 0);
  const headings = headingRow < 0 ? [] : (rows[headingRow] ?? []);
  const taken = new Set([...chosen.values()].flatMap((choice) => choice.field ?? []));
  const guessed = Array.from({ length: width }, (_, index) => {
    const heading = cleanCell(headings[index] ?? '');
    const cells = cellsBelow(rows, headingRow, index);
    const field = chosen.get(index)?.field;
    const guess =
      field === undefined
        ? guessColumn({ heading, cells }, headingRow, taken)
        : { field, why: CHOSEN, sure: true };
    taken.add(guess.field);
    return { index, heading, cells, guess };
  });
  const list = lookAtWholeList(guessed);
  const columns = guessed.map(({ index, heading, cells, guess }): Column => {
    const sensed = withChoice(
      sense({ heading, cells, field: guess.field }, list, options),
      chosen.get(index),
    );
    return {
      index,
      heading: heading === '' ? `Column ${index + 1}` : heading,
      samples: cells.slice(0, SAMPLES_MAX),
      filled: cells.length,
      field: guess.field,
      ...sensed.senses,
      why: `${guess.why} ${sensed.why}`.trim(),
      sure: guess.sure && sensed.sure,
    };
  });
  return { headingRow, columns, lines: rows.slice(headingRow + 1).filter((row) => !isBlank(row)).length };
}
