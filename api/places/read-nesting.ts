// What each place is inside of now, with loops of containers resolved (law 7), and what follows from that for one place.
import type postgres from 'postgres';
import type { Position } from '#domain/book.ts';
import { type AtlasPlace, loopsIn } from '#domain/chain.ts';
import { asPlaceId, type PlaceId, type ThingId } from '#domain/ids.ts';
import type { Figures, PlaceNode } from '#domain/where.ts';
import { positionColumns } from '../movements/line-rows.ts';
import { withOlderInLoops } from '../movements/older-in-loops.ts';

export type PlaceRow = Omit<PlaceNode, keyof Figures | 'here'> & {
  readonly thingId: ThingId | null;
  readonly parentId: PlaceId | null;
};

function readRows(sql: postgres.ISql) {
  return sql<PlaceRow[]>`
    select p.id, p.kind, p.name, p.sort, p.unnamed, p.thing_id as "thingId", p.parent_id as "parentId",
      case when p.thing_id is null then p.parent_id else x.place_id end as "insideId"
    from place p left join position x on x.thing_id = p.thing_id order by p.sort, p.name, p.id`;
}

/** Whether places are said to be in each other. */
function holdsRing(rows: readonly PlaceRow[]): boolean {
  const insideOf = new Map(rows.map(({ id, insideId }) => [id, insideId]));
  const fine = new Set<PlaceId>();
  for (const { id } of rows) {
    const way = new Set<PlaceId>();
    let at: PlaceId | null | undefined = id;
    while (at && !fine.has(at)) {
      if (way.has(at)) return true;
      way.add(at);
      at = insideOf.get(at);
    }
    for (const passed of way) fine.add(passed);
  }
  return false;
}

/** The latest edge of a loop is passed over, and its container counts as at the place before (law 7). */
async function withoutRings(sql: postgres.ISql, rows: readonly PlaceRow[]): Promise<readonly PlaceRow[]> {
  if (!holdsRing(rows)) return rows;
  const base = await sql<Position[]>`
    select ${positionColumns(sql)} from movement m join position x on x.movement_id = m.id
    join place p on p.thing_id = m.thing_id`;
  const history = new Map<ThingId, Position[]>();
  for (const position of await withOlderInLoops(sql, Number.MAX_SAFE_INTEGER, base)) {
    history.set(position.thingId, [...(history.get(position.thingId) ?? []), position]);
  }
  const places = new Map<PlaceId, AtlasPlace>(rows.map((row) => [row.id, row]));
  const counts = new Map(
    loopsIn({ places, history }).map((loop) => [asPlaceId(loop.containerId), loop.countsAt]),
  );
  return rows.map((row) => {
    const countsAt = counts.get(row.id);
    return countsAt === undefined ? row : { ...row, insideId: countsAt };
  });
}

/** All places, each with what it is inside of now, sorted by sort, name, id. */
export async function readNesting(sql: postgres.ISql): Promise<readonly PlaceRow[]> {
  return withoutRings(sql, await readRows(sql));
}

/** The place and all places inside of it, as `outerOf` says what each is inside of. */
export function placesInside(
  id: PlaceId,
  rows: readonly PlaceRow[],
  outerOf: (row: PlaceRow) => PlaceId | null,
): readonly PlaceId[] {
  const inner = new Map<PlaceId, PlaceId[]>();
  for (const row of rows) {
    const outer = outerOf(row);
    if (outer === null) continue;
    const known = inner.get(outer);
    if (known) known.push(row.id);
    else inner.set(outer, [row.id]);
  }
  const found = new Set([id]);
  for (const place of found) for (const next of inner.get(place) ?? []) found.add(next);
  return [...found];
}

/** Each of the places with itself and every place around it, as two lists of the same length. */
export function placesAround(ids: readonly PlaceId[], rows: readonly PlaceRow[]) {
  const outerOf = new Map(rows.map((row) => [row.id, row.insideId]));
  const starts: PlaceId[] = [];
  const around: PlaceId[] = [];
  for (const start of ids) {
    const chain = new Set<PlaceId>();
    let at: PlaceId | null | undefined = start;
    while (at && !chain.has(at)) {
      chain.add(at);
      starts.push(start);
      around.push(at);
      at = outerOf.get(at);
    }
  }
  return { starts, around };
}
