// Which tables and columns a backup holds, asked from the database itself: a table that somebody adds is in it without a word.
import type postgres from 'postgres';
import { assert } from '#domain/invariant.ts';
import { NOT_KEPT } from './file-format.ts';

export interface KeptTable {
  readonly name: string;
  readonly columns: readonly string[];
  /** Its bytes are files of their own. */
  readonly bytesColumn: string | null;
  readonly hasMime: boolean;
  /** A total order that is the same in every database, whatever its locale. */
  readonly order: string;
}

interface ColumnRow {
  readonly table: string;
  readonly column: string;
  readonly type: string;
  readonly key: number | null;
}

const TEXTS: ReadonlySet<string> = new Set(['text', 'character', 'character varying']);

/** A name as SQL takes it. */
export const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`;

function keptTableOf(name: string, rows: readonly ColumnRow[]): KeptTable {
  const key = rows.filter((row) => row.key !== null).sort((a, b) => (a.key ?? 0) - (b.key ?? 0));
  assert(key.length > 0, `the table ${name} has a primary key`);
  const isById = key.length === 1 && key[0]?.column === 'id' && key[0].type === 'uuid';
  const bytes = rows.find(({ type }) => type === 'bytea');
  return {
    name,
    columns: rows.map(({ column }) => column),
    bytesColumn: isById ? (bytes?.column ?? null) : null,
    hasMime: rows.some(({ column }) => column === 'mime'),
    order: key.map(({ column, type }) => quoted(column) + (TEXTS.has(type) ? ' collate "C"' : '')).join(', '),
  };
}

/** Every table of the schema but those of NOT_KEPT, by name. Columns that the database computes are left out. */
export async function readKeptTables(tx: postgres.ISql): Promise<readonly KeptTable[]> {
  const rows = await tx<ColumnRow[]>`
    select c.relname::text as table, a.attname::text as column, regexp_replace(format_type(a.atttypid, a.atttypmod), '\\(.*', '') as type,
      array_position(k.conkey, a.attnum) as key
    from pg_class c
    join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = ''
    left join pg_constraint k on k.conrelid = c.oid and k.contype = 'p'
    where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and not c.relispartition
    order by c.relname collate "C", a.attnum`;
  const tables = new Map<string, ColumnRow[]>();
  for (const row of rows) tables.set(row.table, [...(tables.get(row.table) ?? []), row]);
  const kept = [...tables].filter(([name]) => !Object.hasOwn(NOT_KEPT, name));
  return kept.map(([name, columns]) => keptTableOf(name, columns));
}

/** Columns that are in the table's CSV. */
export function csvColumnsOf({ columns, bytesColumn }: KeptTable): readonly string[] {
  return columns.filter((column) => column !== bytesColumn);
}

/** Whether nobody has entered anything in any of these tables. */
export async function areEmpty(tx: postgres.ISql, tables: readonly KeptTable[]): Promise<boolean> {
  const texts = tables.map(({ name }) => `select from ${quoted(name)}`);
  const rows = await tx.unsafe(`select from (${texts.join(' union all ')}) any_row limit 1`);
  return rows.length === 0;
}
