// A container that stands in a loop counts as where it was before (law 7), so a book that begins with such a loop has to
// know more of it than its latest place.
import type postgres from 'postgres';
import type { Position } from '#domain/book.ts';
import { type AtlasPlace, loopsIn } from '#domain/chain.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { outwardsFixed } from '../places/inside.ts';
import { positionColumns } from './line-rows.ts';

function readAround(sql: postgres.ISql, positions: readonly Position[]) {
  const placeIds = [...new Set(positions.map((position) => position.placeId))];
  return sql<AtlasPlace[]>`
    select id, parent_id as "parentId", thing_id as "thingId" from place
    where id in (${outwardsFixed(sql, placeIds)})`;
}

/** Every living position of the things before `since`, the newest first. */
function readPast(sql: postgres.ISql, since: number, thingIds: readonly ThingId[]) {
  return sql<Position[]>`
    select ${positionColumns(sql)} from movement m
    where m.thing_id = any(${[...thingIds]}::uuid[]) and m.kind = 'move' and m.at < ${since}
      and not exists (select from movement v where v.voids = m.id)
    order by m.at desc, m.id desc`;
}

/**
 * The positions at `since` (UTC ms), and of every container that stood in a loop then also the earlier ones. What is
 * earlier may close another loop, so it is asked until none is left.
 */
export async function withOlderInLoops(
  sql: postgres.ISql,
  since: number,
  base: readonly Position[],
): Promise<readonly Position[]> {
  const history = new Map<ThingId, Position[]>(base.map((position) => [position.thingId, [position]]));
  const places = new Map<PlaceId, AtlasPlace>();
  const know = async (positions: readonly Position[]) => {
    for (const place of await readAround(sql, positions)) places.set(place.id, place);
  };
  await know(base);
  const asked = new Set<ThingId>();
  for (;;) {
    const looped = loopsIn({ places, history }).map((loop) => loop.containerId);
    const fresh = looped.filter((id) => !asked.has(id));
    if (fresh.length === 0) return [...history.values()].flat();
    const past = await readPast(sql, since, fresh);
    for (const id of fresh) {
      asked.add(id);
      history.set(
        id,
        past.filter((position) => position.thingId === id),
      );
    }
    await know(past);
  }
}
