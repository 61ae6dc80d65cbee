// From the bytes of a file, and what a person chose, to a list that is understood.

import type { Delimiter } from '#domain/csv/delimiter.ts';
import { type ColumnChange, FIELDS_SHARED } from '#domain/csv/fields.ts';
import { findHeadingRow, type Rows, type Understanding, understandRows } from '#domain/csv/understand.ts';
import type { Outfit } from '#domain/place.ts';
import type { FieldFault } from '#domain/record.ts';
import type { Choices } from './choices.ts';
import { decodeFile, type Encoding } from './decode-file.ts';
import type { ListRefusal } from './list-refusal.ts';
import { readRows } from './read-rows.ts';

export type UnderstoodList = Understanding & {
  readonly rows: Rows;
  readonly encoding: Encoding;
  readonly delimiter: Delimiter;
};

function findClashes(list: Understanding): FieldFault[] {
  return list.columns.flatMap((column, at) => {
    const first = list.columns.findIndex((other) => other.field === column.field);
    if (first === at || FIELDS_SHARED.includes(column.field)) return [];
    const detail = `“${column.heading}” and “${list.columns[first]?.heading ?? ''}” both hold the ${column.field.replaceAll('-', ' ')}; choose one of them`;
    return [{ pointer: `query:/choices/columns/${column.index}/field`, detail }];
  });
}

/** In this order: no list at all · can't be read as rows · two columns hold the same fact. */
export function understandFile(
  bytes: Uint8Array,
  choices: Choices,
  outfit: Pick<Outfit, 'currency' | 'units'>,
): UnderstoodList | { readonly refusal: ListRefusal } {
  const decoded = decodeFile(bytes);
  if ('refusal' in decoded) return decoded;
  const read = readRows(decoded.text, choices.delimiter);
  if ('refusal' in read) return read;
  const { rows, delimiter } = read;
  const options = { delimiter, currency: outfit.currency, units: outfit.units };
  const chosen = new Map<number, ColumnChange>();
  for (const [index, change] of Object.entries(choices.columns)) chosen.set(Number(index), change);
  const list = understandRows(rows, options, choices.headingRow ?? findHeadingRow(rows), chosen);
  const fields = findClashes(list);
  if (fields.length > 0) return { refusal: { kind: 'contradiction', fields } };
  return { ...list, rows, encoding: decoded.encoding, delimiter };
}
