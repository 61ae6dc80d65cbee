// Writes things off: lost, stolen, destroyed, sold. Only this takes a thing out of the sums (law 9).
import { isDeepStrictEqual } from 'node:util';
import type postgres from 'postgres';
import type { RecordRefusal } from '#domain/record.ts';
import type { WriteOff, WriteOffFacts } from '#domain/worth.ts';
import { decide, type Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal, Kept } from '../record/keep.ts';
import { readWriteOff } from './store.ts';

/** In this order: the thing is unknown · it was merged into another entry · an item is more than one · an item is written off already. */
async function check(tx: Tx, facts: WriteOffFacts): Promise<RecordRefusal | null> {
  const [thing] = await tx<{ kind: string; merged: boolean }[]>`
    select kind, merged_into_id is not null as merged from thing where id = ${facts.thingId} for update`;
  if (thing === undefined)
    return {
      kind: 'unknown-reference',
      fields: [{ pointer: '/thingId', detail: 'names no thing known here' }],
    };
  if (thing.merged) return { kind: 'merged-already', id: facts.thingId };
  if (thing.kind !== 'item') return null;
  if (facts.number !== 1)
    return { kind: 'contradiction', fields: [{ pointer: '/number', detail: 'an item is one; give 1' }] };
  const before = await tx`select from write_off where thing_id = ${facts.thingId}`;
  return before.count > 0 ? { kind: 'already-written-off', id: facts.thingId } : null;
}

async function insert(tx: Tx, id: string, facts: WriteOffFacts): Promise<void> {
  const { thingId, number, onDate, reason, note, lineId } = facts;
  const row = { id, thing_id: thingId, number, on_date: onDate, reason, note, line_id: lineId };
  await tx`insert into write_off ${tx(row)}`;
  await announceChange(tx, 'thing', thingId);
}

/** Writes a thing off under an id that its maker chose; the same again is a repeat. */
export async function writeOff(sql: postgres.Sql, id: string, facts: WriteOffFacts): Promise<Kept<WriteOff>> {
  return decide<{ made: boolean; record: WriteOff }, KeepRefusal>(sql, async (tx) => {
    const record: WriteOff = { ...facts, id, personId: null };
    const refusal = await check(tx, facts);
    // Asked behind the lock on the thing, so that two deliveries of one request come one after the other.
    const known = await readWriteOff(tx, id);
    if (known !== null)
      return isDeepStrictEqual({ ...known }, record)
        ? { made: false, record: known }
        : { refusal: { kind: 'id-reused', id } };
    if (refusal !== null) return { refusal };
    await insert(tx, id, facts);
    return { made: true, record };
  });
}

/** The thing turned up, or was never gone: takes the write-off back. False where there is none of this id. */
export async function takeBackWriteOff(sql: postgres.Sql, id: string): Promise<boolean> {
  const { gone } = await sql.begin(async (tx) => {
    const [row] = await tx<{ thingId: string }[]>`
      delete from write_off where id = ${id} returning thing_id as "thingId"`;
    if (row !== undefined) await announceChange(tx, 'thing', row.thingId);
    return { gone: row !== undefined };
  });
  return gone;
}
