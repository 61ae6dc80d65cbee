// The one way in which a record is made, repeated and edited: classes, places, parties, things and the rest differ in
// what they hold, never in how two editors or two deliveries of one request are told apart.
import { isDeepStrictEqual } from 'node:util';
import type postgres from 'postgres';
import type { RecordRefusal } from '#domain/record.ts';
import { decide, type Tx } from '../database/decide.ts';

interface CheckedKind<Facts, Kept> {
  readonly readOne: (tx: postgres.ISql, id: string) => Promise<Kept | null>;
  /** Whether these facts may stand, before anything is written; `kept` is null for a new record. */
  readonly check: (tx: Tx, id: string, facts: Facts, kept: Kept | null) => Promise<RecordRefusal | null>;
}

export interface MadeKind<Facts, Kept> extends CheckedKind<Facts, Kept> {
  /** What a repeat is compared by: the same from a kept record and from the facts that made it. */
  readonly factsOf: (kept: Kept) => unknown;
  readonly comparedOf?: (facts: Facts) => unknown;
  /** Adds it and says so in the feed. Null when it is written; 'taken' when a row of its kind has the id; else why not. */
  readonly insert: (tx: Tx, id: string, facts: Facts) => Promise<RecordRefusal | 'taken' | null>;
}

export interface EditedKind<Facts, Kept> extends CheckedKind<Facts, Kept> {
  /** Its table, whose row is locked under an editor. */
  readonly table: string;
  /** Sets all facts of the locked row, counts the version up and says so in the feed. */
  readonly update: (tx: Tx, id: string, facts: Facts, kept: Kept) => Promise<RecordRefusal | null>;
}

export interface RecordKind<Facts, Kept> extends MadeKind<Facts, Kept>, EditedKind<Facts, Kept> {}

export type KeepRefusal =
  | RecordRefusal
  | { readonly kind: 'not-found' }
  /** There is only one, so an edit has to say which version it began from. */
  | { readonly kind: 'if-match-missing' }
  | { readonly kind: 'version-moved'; readonly current: number };

export type Kept<K> = { readonly made: boolean; readonly record: K } | { readonly refusal: KeepRefusal };

/**
 * Makes a record under an id that its maker chose. The same id again with the same facts is the same request, delivered
 * twice: it gets the record. So does a repeat that comes after somebody has edited the record, because what was first
 * said is no longer known, and nothing is overwritten. Other facts under an unedited record's id are refused.
 */
export async function makeRecord<Facts, K extends { readonly version: number }>(
  sql: postgres.Sql,
  kind: MadeKind<Facts, K>,
  id: string,
  facts: Facts,
): Promise<Kept<K>> {
  return decide<{ made: boolean; record: K }, KeepRefusal>(sql, async (tx) => {
    const known = await kind.readOne(tx, id);
    if (known !== null) return repeatOf(kind, id, facts, known);
    const refusal = (await kind.check(tx, id, facts, null)) ?? (await kind.insert(tx, id, facts));
    if (refusal !== null && refusal !== 'taken') return { refusal };
    const record = await kind.readOne(tx, id);
    if (record === null) return { refusal: { kind: 'id-reused', id } };
    return refusal === 'taken' ? repeatOf(kind, id, facts, record) : { made: true, record };
  });
}

function repeatOf<Facts, K extends { readonly version: number }>(
  kind: MadeKind<Facts, K>,
  id: string,
  facts: Facts,
  record: K,
): Kept<K> {
  const said = kind.comparedOf === undefined ? facts : kind.comparedOf(facts);
  const isRepeat = record.version > 1 || isDeepStrictEqual(kind.factsOf(record), said);
  return isRepeat ? { made: false, record } : { refusal: { kind: 'id-reused', id } };
}

/** Edits a record that its editor read at version `ifMatch`; refused when somebody else was faster. */
export async function editRecord<Facts, K extends { readonly version: number }>(
  sql: postgres.Sql,
  kind: EditedKind<Facts, K>,
  edit: { readonly id: string; readonly ifMatch: number; readonly facts: Facts },
): Promise<Kept<K>> {
  const { id, facts } = edit;
  return decide<{ made: boolean; record: K }, KeepRefusal>(sql, async (tx) => {
    // Not "for update": another record that comes to refer to this one need not wait.
    await tx`select from ${tx(kind.table)} where id = ${id} for no key update`;
    const before = await kind.readOne(tx, id);
    if (before === null) return { refusal: { kind: 'not-found' } };
    if (before.version !== edit.ifMatch)
      return { refusal: { kind: 'version-moved', current: before.version } };
    const refusal = (await kind.check(tx, id, facts, before)) ?? (await kind.update(tx, id, facts, before));
    if (refusal !== null) return { refusal };
    const record = await kind.readOne(tx, id);
    return record === null ? { refusal: { kind: 'not-found' } } : { made: false, record };
  });
}
