// How a thing was answered for at the last wraps, from the counts as they were closed.
import type postgres from 'postgres';
import type { WrapCheck } from '#domain/thing-checks.ts';

/** So many of the latest closed counts are looked at: a thing that was in none of them has not been out for long. */
const COUNTS_MAX = 200;
const CHECKS_MAX = 12;

/** The latest first; null where there is no such thing. A thing that others were merged into has their checks, too. */
export async function readChecks(sql: postgres.ISql, thingId: string): Promise<WrapCheck[] | null> {
  if ((await sql`select from thing where id = ${thingId}`).count === 0) return null;
  return sql<WrapCheck[]>`
    with closed as materialized (
      select c.id, c.stop_id, c.round, c.at, c.body->'lines' as lines from movement c
      where c.kind = 'close' and not exists (select from movement v where v.voids = c.id)
      order by c.at desc, c.id desc limit ${COUNTS_MAX}),
    meant as (select id from thing where ${thingId} in (id, merged_into_id))
    select closed.stop_id as "stopId", closed.round, stop.name as "stopName", stop.zone, closed.at as "closedAt",
      line->>'placeId' as "placeId", (line->>'expected')::int as expected, (line->>'found')::int as found,
      line->>'said' as said, said.person_id as "personId"
    from closed join stop on stop.id = closed.stop_id
      cross join lateral jsonb_array_elements(closed.lines) line
      left join movement said on said.id = (line->>'lineId')::uuid
    where (line->>'thingId')::uuid in (select id from meant)
    order by closed.at desc, closed.id desc, line->>'placeId' limit ${CHECKS_MAX}`;
}
