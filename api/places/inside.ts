// Which places lie inside which: by fixed parents alone, or with what moves where it is now.

import type postgres from 'postgres';
import type { PlaceId, ThingId } from '#domain/ids.ts';

/** Those of `places` that are `id` itself or lie inside it by their fixed parents. */
export async function findInsideOf(
  tx: postgres.ISql,
  id: PlaceId | ThingId,
  places: readonly PlaceId[],
): Promise<ReadonlySet<string>> {
  if (places.length === 0) return new Set();
  const rows = await tx<{ start: string }[]>`
    with recursive up as (
      select id as start, id, parent_id from place where id = any(${[...places]}::uuid[])
      union select u.start, p.id, p.parent_id from place p join up u on p.id = u.parent_id)
    select distinct start from up where id = ${id}`;
  return new Set(rows.map((row) => row.start));
}

/** All places that are one of `roots` or lie inside one by their fixed parents, as a fragment that yields ids. */
export function insideFixed(tx: postgres.ISql, roots: readonly string[]) {
  return tx`
    with recursive below as (
      select id from place where id = any(${[...roots]}::uuid[])
      union select p.id from place p join below b on p.parent_id = b.id)
    select id from below`;
}

/** The places and all places that hold them by a fixed parent, as a fragment that yields ids. */
export function outwardsFixed(tx: postgres.ISql, ids: readonly string[]) {
  return tx`
    with recursive outwards (id, parent_id) as (
      select id, parent_id from place where id = any(${[...ids]}::uuid[])
      union select p.id, p.parent_id from outwards o join place p on p.id = o.parent_id)
    select id from outwards`;
}

/** All places that are one of `roots` or lie inside one as things lie now, vehicles and containers along; yields ids. */
export function insideNow(tx: postgres.ISql, roots: readonly string[]) {
  // UNION drops what was seen before, so that containers that are said to be in each other come to an end.
  return tx`
    with recursive below as (
      select id from place where id = any(${[...roots]}::uuid[])
      union
      select next.id from below b cross join lateral (
        select p.id from place p where p.parent_id = b.id
        union all
        select p.id from position x join place p on p.thing_id = x.thing_id where x.place_id = b.id) next)
    select id from below`;
}
