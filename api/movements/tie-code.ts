// A code turned out to be a thing: the lines that were scanned with it count for that thing, from their own times.
import type { ThingId } from '#domain/ids.ts';
import type { Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';
import { readMeanings, tieLines } from './find-tied.ts';
import { type LineRow, wireOf } from './line-rows.ts';
import { sayArrival } from './meet.ts';
import { recomputePositions } from './stand.ts';

/** Ties the open lines of a code that was just written into the code history. */
export async function tieCode(tx: Tx, code: string, thingId: ThingId): Promise<void> {
  await sayArrival(tx);
  await tx`select from thing where id = ${thingId} for no key update`;
  const rows = await tx<LineRow[]>`
    select body, thing_id as "thingId", at, time_uncertain as "timeUncertain" from movement
    where code = ${code} and kind = 'move' and thing_id is null order by id`;
  const lines = rows.map(wireOf);
  const meanings = await readMeanings(
    tx,
    lines.map(({ line }) => line),
  );
  const tied = tieLines(meanings, lines);
  const ids = [...tied].filter(([, meant]) => meant === thingId.toString()).map(([id]) => id);
  if (ids.length === 0) return;
  await tx`update movement set thing_id = ${thingId} where id = any(${ids}::uuid[])`;
  await recomputePositions(tx, [thingId]);
  await noteChanges(
    tx,
    ids.map((ref) => ({ kind: 'movement', ref })),
  );
}
