// The cache of laws 5 and 6: recomputed from the ledger for exactly what a write touched, in the same transaction.
import type { Movement } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';

/** Where a number of counted gear or of a consumable may have changed. */
interface Level {
  readonly thingId: string;
  readonly placeId: string;
}

/** Sets the positions of the things to the destination of their latest living move; none where there is no such move. */
export async function recomputePositions(tx: Tx, thingIds: readonly string[]): Promise<void> {
  if (thingIds.length === 0) return;
  const ids = [...new Set(thingIds)].sort();
  await tx`
    with latest as (
      select m.thing_id, m.to_id, m.at, m.id
      from unnest(${ids}::uuid[]) as touched (id) cross join lateral (
        select thing_id, to_id, at, id from movement line
        where line.thing_id = touched.id and line.kind = 'move'
          and not exists (select from movement v where v.voids = line.id)
        order by line.at desc, line.id desc limit 1) m),
    gone as (
      delete from position where thing_id = any(${ids}::uuid[]) and thing_id not in (select thing_id from latest))
    insert into position (thing_id, place_id, at, movement_id)
    select thing_id, to_id, at, id from latest order by thing_id
    on conflict (thing_id) do update
      set place_id = excluded.place_id, at = excluded.at, movement_id = excluded.movement_id`;
}

/** Sets the numbers to the latest living hand count, else 0, plus what came in less what went out after it. */
export async function recomputeLevels(tx: Tx, levels: readonly Level[]): Promise<void> {
  if (levels.length === 0) return;
  const pairs = [...new Map(levels.map((level) => [`${level.thingId}/${level.placeId}`, level])).values()];
  await tx`
    insert into stock_level (thing_id, place_id, number)
    select touched.thing_id, touched.place_id, coalesce(counted.number, 0) + coalesce((
      select sum(case when m.to_id = touched.place_id then m.number else 0 end
               - case when m.from_id = touched.place_id then m.number else 0 end)
      from movement m
      where m.thing_id = touched.thing_id and m.kind = 'quantity' and touched.place_id in (m.to_id, m.from_id)
        and (counted.id is null or (m.at, m.id) > (counted.at, counted.id))
        and not exists (select from movement v where v.voids = m.id)), 0)
    from jsonb_to_recordset(${tx.json(pairs.map(({ thingId, placeId }) => ({ thing_id: thingId, place_id: placeId })))})
      as touched (thing_id uuid, place_id uuid)
    left join lateral (
      select h.number, h.at, h.id from movement h
      where h.thing_id = touched.thing_id and h.kind = 'hand-count' and h.to_id = touched.place_id
        and not exists (select from movement v where v.voids = h.id)
      order by h.at desc, h.id desc limit 1) counted on true
    order by touched.thing_id, touched.place_id
    on conflict (thing_id, place_id) do update set number = excluded.number`;
}

function levelsOf(line: Movement, tiedTo: string | undefined): readonly Level[] {
  if (line.kind === 'hand-count') return [{ thingId: line.thingId, placeId: line.toId }];
  if (line.kind !== 'quantity') return [];
  const thingId = tiedTo ?? line.thingId;
  return [line.fromId, line.toId].flatMap((placeId) => (placeId === null ? [] : [{ thingId, placeId }]));
}

/** Recomputes what lines that were just stored touch; `tied` names the things of lines that do not name theirs, by line. */
export async function recomputeTouched(
  tx: Tx,
  lines: readonly Movement[],
  tied: ReadonlyMap<string, string>,
): Promise<void> {
  const moved: (string | null)[] = lines.map((line) =>
    line.kind === 'move' ? (tied.get(line.id) ?? line.thingId) : null,
  );
  const voided = lines.flatMap((line) => (line.kind === 'void' ? [line.voids] : []));
  const levels = lines.flatMap((line) => [...levelsOf(line, tied.get(line.id))]);
  if (voided.length > 0) {
    const targets = await tx<
      { kind: string; thingId: string | null; fromId: string | null; toId: string | null }[]
    >`
      select kind, thing_id as "thingId", from_id as "fromId", to_id as "toId" from movement
      where id = any(${voided}::uuid[])`;
    for (const { kind, thingId, fromId, toId } of targets) {
      if (thingId === null) continue;
      if (kind === 'move') moved.push(thingId);
      if (kind !== 'quantity' && kind !== 'hand-count') continue;
      for (const placeId of [fromId, toId]) if (placeId !== null) levels.push({ thingId, placeId });
    }
  }
  const things = moved.filter((id) => id !== null);
  await Promise.all([recomputePositions(tx, things), recomputeLevels(tx, levels)]);
}
