// Takes a merge back: the entry that went is its own again, with its lines, codes, pictures and the rest. What came later
// stays with the one that stayed.
import { randomUUID } from 'node:crypto';
import type postgres from 'postgres';
import { type ThingId, thingIdSchema } from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import { decide, type Tx } from '../database/decide.ts';
import { type LineRow, recordedOf } from '../movements/line-rows.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal } from '../record/keep.ts';
import { handBackCodes } from './hand-over-codes.ts';
import { type HandedRecords, handBackRecords } from './hand-over-records.ts';
import { noteSaidAgain, sayAgain, takeBackLines } from './say-again.ts';
import { makePlaceOf } from './thing-place.ts';

interface MergeRow extends HandedRecords {
  readonly id: string;
  readonly intoId: ThingId;
  readonly name: string;
  readonly placeKind: 'container' | 'vehicle' | null;
  readonly said: readonly string[];
  readonly codes: readonly string[];
}

async function readMerge(tx: Tx, thingId: ThingId): Promise<MergeRow | null> {
  const [merge] = await tx<MergeRow[]>`
    select m.id, m.into_id as "intoId", t.name, m.place_kind as "placeKind", m.said, m.codes, m.pictures, m.values,
      m.write_offs, m.package_lines, m.built
    from thing_merge m join thing t on t.id = m.thing_id where m.thing_id = ${thingId} and m.undone_at is null`;
  return merge ?? null;
}

/** The lines of the other thing that stand for it and that nobody has taken back since. */
async function readSaid(tx: Tx, merge: MergeRow) {
  const rows = await tx<LineRow[]>`
    select m.body, m.thing_id as "thingId", m.at, m.time_uncertain as "timeUncertain" from movement m
    where (m.id = any(${[...merge.said]}::uuid[]) or m.id in (select again_id from said_again where merge_id = ${merge.id}))
      and m.thing_id = ${merge.intoId} and not exists (select from movement v where v.voids = m.id)
    order by m.at, m.id`;
  return rows.map((row) => ({ line: recordedOf(row) }));
}

/** The entry's own lines as they were, without those whose other one was taken back since. */
async function readOwn(tx: Tx, merge: MergeRow) {
  const rows = await tx<LineRow[]>`
    select m.body, m.thing_id as "thingId", m.at, m.time_uncertain as "timeUncertain"
    from said_again s join movement m on m.id = s.line_id
    where s.merge_id = ${merge.id} and not exists (select from movement v where v.voids = s.again_id)
    order by m.at, m.id`;
  return rows.map((row) => ({ line: recordedOf(row), isSaidAgain: true }));
}

/** Everything that was handed over, back. Refused when the thing is not merged into another one. */
export async function takeBackMerge(
  sql: postgres.Sql,
  thingId: ThingId,
  now: number,
): Promise<{ readonly intoId: ThingId } | { readonly refusal: KeepRefusal }> {
  return decide<{ intoId: ThingId }, KeepRefusal>(sql, async (tx) => {
    const [pointer] = await tx<{ intoId: ThingId | null }[]>`
      select merged_into_id as "intoId" from thing where id = ${thingId}`;
    const both = [thingId, thingIdSchema.parse(pointer?.intoId ?? thingId)];
    await tx`select from thing where id = any(${both}::uuid[]) order by id for no key update`;
    const merge = await readMerge(tx, thingId);
    if (merge === null) return { refusal: { kind: 'not-found' } };
    await tx`update thing set merged_into_id = null, version = version + 1 where id = ${thingId}`;
    await tx`update thing_merge set undone_at = ${Math.max(now, 0)} where id = ${merge.id}`;
    await separate(tx, thingId, merge, now);
    return { intoId: merge.intoId };
  });
}

async function separate(tx: Tx, thingId: ThingId, merge: MergeRow, now: number): Promise<void> {
  const { intoId, placeKind, name } = merge;
  if (placeKind !== null) {
    const refusal = await makePlaceOf(tx, { id: thingId, name }, placeKind);
    assert(refusal === null, 'the place that went with a thing left its id free');
  }
  const own = await readOwn(tx, merge);
  const said = await readSaid(tx, merge);
  const again = await sayAgain(tx, { lines: own, thingId, deviceId: randomUUID(), now });
  await takeBackLines(tx, said, now);
  // From now on the entry's own new lines stand for its first ones.
  await noteSaidAgain(tx, merge.id, again);
  await handBackCodes(tx, { codes: merge.codes, from: intoId, to: thingId, now });
  await handBackRecords(tx, merge, { from: intoId, to: thingId });
  await announceChange(tx, 'thing', thingId, intoId);
}
