// Makes one of two entries that are the same thing. The one that goes points to the one that stays; its lines of the
// ledger are taken back and said again of the other, and what hangs on it goes over. All of it is noted, to be undone.
import type postgres from 'postgres';
import type { ThingId } from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import { type Merge, whyNotMerged } from '#domain/merge.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Thing } from '#domain/thing.ts';
import { decide, type Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal, Kept } from '../record/keep.ts';
import { handOverCodes } from './hand-over-codes.ts';
import { handOverRecords } from './hand-over-records.ts';
import { addNumbers, noteSaidAgain, readLinesOf, sayAgain, takeBackLines } from './say-again.ts';
import { readThings } from './store.ts';
import { removePlaceOf } from './thing-place.ts';

export interface MergeAsked {
  readonly id: string;
  readonly thingId: ThingId;
  readonly intoId: ThingId;
  /** UTC ms. */
  readonly now: number;
}

async function lockBoth(tx: Tx, ids: readonly ThingId[]): Promise<ReadonlyMap<ThingId, Thing>> {
  await tx`select from thing where id = any(${[...ids]}::uuid[]) order by id for no key update`;
  return new Map((await readThings(tx, ids)).map((thing) => [thing.id, thing]));
}

async function holdsMerged(tx: Tx, id: ThingId): Promise<boolean> {
  return (await tx`select from thing where merged_into_id = ${id} limit 1`).count > 0;
}

async function readStanding(tx: Tx, thingId: ThingId): Promise<Merge | null> {
  const [merge] = await tx<Merge[]>`
    select id, thing_id as "thingId", into_id as "intoId", at from thing_merge
    where thing_id = ${thingId} and undone_at is null`;
  return merge ?? null;
}

/** The place that it is goes with it: null when it was none. A place that anything was ever in is refused. */
async function giveUpPlace(
  tx: Tx,
  id: ThingId,
): Promise<{ readonly kind: string | null } | { readonly refusal: RecordRefusal }> {
  const [place] = await tx<{ kind: string }[]>`select kind from place where thing_id = ${id}`;
  if (place === undefined) return { kind: null };
  const refusal = await removePlaceOf(tx, id);
  return refusal === null ? { kind: place.kind } : { refusal };
}

async function handOver(tx: Tx, asked: MergeAsked, gone: Thing, placeKind: string | null): Promise<void> {
  const { id, thingId, intoId, now } = asked;
  const lines = await readLinesOf(tx, thingId);
  const said = await sayAgain(tx, { lines, thingId: intoId, deviceId: id, now });
  const numbers = await addNumbers(tx, { from: gone, into: intoId, now });
  const codes = await handOverCodes(tx, { from: thingId, into: intoId, now });
  const records = await handOverRecords(tx, thingId, intoId);
  await tx`update thing set merged_into_id = ${intoId}, version = version + 1 where id = ${thingId}`;
  const row = {
    id,
    thing_id: thingId,
    into_id: intoId,
    at: now,
    place_kind: placeKind,
    said: numbers,
    codes,
  };
  await tx`insert into thing_merge ${tx({ ...row, ...records })}`;
  await takeBackLines(tx, lines, now);
  await noteSaidAgain(tx, id, said);
  await announceChange(tx, 'thing', thingId, intoId);
}

/**
 * Refused, in this order: one of the two is unknown · what `whyNotMerged` says · the entry that would go is a place that
 * something is in, lives in or was ever put into. The same merge again is a repeat.
 */
export async function mergeThings(sql: postgres.Sql, asked: MergeAsked): Promise<Kept<Merge>> {
  const { id, thingId, intoId, now } = asked;
  return decide<{ made: boolean; record: Merge }, KeepRefusal>(sql, async (tx) => {
    const things = await lockBoth(tx, [thingId, intoId]);
    const [gone, kept] = [things.get(thingId), things.get(intoId)];
    if (gone === undefined) return { refusal: { kind: 'not-found' } };
    if (kept === undefined) {
      const detail = 'names no thing known here';
      return { refusal: { kind: 'unknown-reference', fields: [{ pointer: '/into', detail }] } };
    }
    const before = await readStanding(tx, thingId);
    if (before?.intoId === intoId) return { made: false, record: before };
    const taken = await tx`select from thing_merge where id = ${id}`;
    if (taken.count > 0) return { refusal: { kind: 'id-reused', id } };
    const refusal = whyNotMerged(
      { ...gone, holdsMerged: await holdsMerged(tx, thingId) },
      { ...kept, holdsMerged: await holdsMerged(tx, intoId) },
    );
    if (refusal !== null) return { refusal };
    const place = await giveUpPlace(tx, thingId);
    if ('refusal' in place) return place;
    await handOver(tx, asked, gone, place.kind);
    const record = await readStanding(tx, thingId);
    assert(record?.id === id, 'a merge stands once it is written');
    return { made: true, record: { id, thingId, intoId, at: now } };
  });
}
