// What bringing in a list will do, line by line, before anything is written.
import { assert } from '../invariant.ts';
import { cleanCell } from './cell-text.ts';
import { makeCountryTable } from './country.ts';
import { type CellFault, type LineFacts, readLine } from './line-facts.ts';
import { hashCells, keyOfCells, keysOf } from './line-key.ts';
import type { Column, Rows } from './understand.ts';

export const DOES = [
  'makes-item',
  'makes-items',
  'makes-counted-gear',
  'makes-consumable',
  'already-known',
  'refused',
] as const;
export type Does = (typeof DOES)[number];

export type PlannedLine = {
  /** The row in the spreadsheet, from 1. */
  readonly row: number;
  readonly does: Does;
  /** What makes the line known again; the first of the keys under which it may be known already. */
  readonly key: string;
  /** Items or pieces that the line stands for. */
  readonly number: number;
  readonly facts: LineFacts;
  /** Why it is refused, or why it is known already; empty when it makes something. */
  readonly faults: readonly CellFault[];
};

export type PlanOptions = {
  readonly headingRow: number;
  readonly columns: readonly Column[];
  /** The outfit's currency (ISO 4217). */
  readonly currency: string;
  /** What a line with a number above one and neither tag nor serial makes: counted gear, or that many items. */
  readonly numberMakes: 'counted-gear' | 'items';
  /** Whether a key (`keysOf` a thing, or a thing's import key) is in the outfit's record. */
  readonly isKnown: (key: string) => boolean;
};

/** One line must not make more items than a person would ever tag. */
export const ITEMS_PER_LINE_MAX = 500;
/** Nor one list more than this; counted gear is one thing whatever its number. */
export const ITEMS_PER_LIST_MAX = 50_000;

const TOO_MANY_ITEMS = `would make more than ${ITEMS_PER_LIST_MAX} items of one list; keep it as counted gear, or bring the list in in parts`;

type Judged = { readonly does: Does; readonly faults: readonly CellFault[] };

function refuse(detail: string): Judged {
  return { does: 'refused', faults: [{ column: null, heading: '', detail }] };
}

function judgeNumber(facts: LineFacts, numberMakes: PlanOptions['numberMakes']): Judged {
  const number = facts.number ?? 1;
  if (number === 0) return refuse('says there are none of it; leave the line out or correct the number');
  if (facts.unit !== null || facts.par !== null) return { does: 'makes-consumable', faults: [] };
  if (number === 1) return { does: 'makes-item', faults: [] };
  if (facts.serial !== null)
    return refuse(`gives one serial number to ${number} things; write a line for each`);
  if (facts.code !== null && facts.code.kind !== 'gtin' && numberMakes === 'items') {
    return refuse(`gives one tag to ${number} things; write a line for each`);
  }
  if (numberMakes === 'counted-gear') return { does: 'makes-counted-gear', faults: [] };
  return number > ITEMS_PER_LINE_MAX
    ? refuse(
        `would make ${number} items; at most ${ITEMS_PER_LINE_MAX} come of one line, so keep it as counted gear`,
      )
    : { does: 'makes-items', faults: [] };
}

/** A row as read, and the keys under which it may be known, before anything is decided. */
export type ReadRow = {
  readonly row: number;
  readonly facts: LineFacts;
  readonly faults: readonly CellFault[];
  readonly keys: readonly string[];
};

/** Reads every row below the headings; blank ones are passed over. */
export function readLines(
  rows: Rows,
  options: Omit<PlanOptions, 'isKnown' | 'numberMakes'>,
): readonly ReadRow[] {
  const asksForCountries = options.columns.some((column) => column.field === 'country');
  const countries = asksForCountries ? makeCountryTable() : new Map<string, string>();
  const sense = { columns: options.columns, currency: options.currency, countries };
  const headings = options.headingRow < 0 ? [] : (rows[options.headingRow] ?? []);
  const timesSeen = new Map<string, number>();
  return rows.flatMap((row, at) => {
    if (at <= options.headingRow || row.every((cell) => cleanCell(cell) === '')) return [];
    const { facts, faults } = readLine(row, sense);
    const hash = hashCells(row, headings);
    const occurrence = (timesSeen.get(hash) ?? 0) + 1;
    timesSeen.set(hash, occurrence);
    const named = keysOf({ ...facts, codes: facts.code === null ? [] : [facts.code] });
    return [{ row: at + 1, facts, faults, keys: named.length > 0 ? named : [keyOfCells(hash, occurrence)] }];
  });
}

/**
 * Decides for each row what it does. A row is, in this order: refused for a cell that can't be read · refused for saying the
 * same tag or serial as a row above · already known, by a tag, by maker, model and serial, or by its very cells ·
 * refused for a number that does not fit · else it makes something.
 */
export function judgeLines(
  lines: readonly ReadRow[],
  options: Pick<PlanOptions, 'isKnown' | 'numberMakes'>,
): readonly PlannedLine[] {
  const rowOfKey = new Map<string, number>();
  let items = 0;
  return lines.map(({ row, facts, faults, keys }) => {
    const wanted = judge({ facts, faults, keys, rowOfKey }, options);
    if (wanted.does === 'makes-items') items += facts.number ?? 1;
    const judged =
      wanted.does === 'makes-items' && items > ITEMS_PER_LIST_MAX ? refuse(TOO_MANY_ITEMS) : wanted;
    if (faults.length === 0) for (const key of keys) if (!rowOfKey.has(key)) rowOfKey.set(key, row);
    const [key] = keys;
    assert(key !== undefined, 'a row has a key');
    return { row, key, number: facts.number ?? 1, facts, ...judged };
  });
}

/** Reads and judges all rows of a list. */
export function planLines(rows: Rows, options: PlanOptions): readonly PlannedLine[] {
  return judgeLines(readLines(rows, options), options);
}

function judge(
  line: {
    readonly facts: LineFacts;
    readonly faults: readonly CellFault[];
    readonly keys: readonly string[];
    readonly rowOfKey: ReadonlyMap<string, number>;
  },
  options: Pick<PlanOptions, 'isKnown' | 'numberMakes'>,
): Judged {
  if (line.faults.length > 0) return { does: 'refused', faults: line.faults };
  const twice = line.keys.map((key) => line.rowOfKey.get(key)).find((row) => row !== undefined);
  if (twice !== undefined) {
    const what = line.facts.code === null ? 'maker, model and serial number' : 'tag or serial number';
    return refuse(`has the same ${what} as row ${twice}; correct one of the two`);
  }
  if (line.keys.some(options.isKnown)) return { does: 'already-known', faults: [] };
  return judgeNumber(line.facts, options.numberMakes);
}

/** How many lines do what, and how many things that makes. */
export type PlanSums = Readonly<Record<Does, number>> & { readonly lines: number; readonly things: number };

/** Adds a plan up. `things` counts items, and counted gear and consumables once each. */
export function sumPlan(lines: readonly PlannedLine[]): PlanSums {
  const count = (does: Does) => lines.filter((line) => line.does === does).length;
  return {
    lines: lines.length,
    'makes-item': count('makes-item'),
    'makes-items': count('makes-items'),
    'makes-counted-gear': count('makes-counted-gear'),
    'makes-consumable': count('makes-consumable'),
    'already-known': count('already-known'),
    refused: count('refused'),
    things: lines.reduce((sum, line) => sum + thingsOf(line), 0),
  };
}

function thingsOf(line: PlannedLine): number {
  if (line.does === 'makes-items') return line.number;
  return line.does === 'already-known' || line.does === 'refused' ? 0 : 1;
}
