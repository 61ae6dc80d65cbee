// The tree of all places as things lie now, with numbers that the database adds up.
import type postgres from 'postgres';
import type { PlaceId } from '#domain/ids.ts';
import { addFigures, type Figures, NO_FIGURES, type PlaceNode, sumOutwards } from '#domain/where.ts';
import { goneThings } from './gone-things.ts';
import { type Matter, readOpenMatters } from './open-matters.ts';
import { readNesting } from './read-nesting.ts';

/** Beyond this a double counts no longer one by one; no sum of money is as large. */
const EXACT_MAX = String(Number.MAX_SAFE_INTEGER);

/** How many items, and kinds of counted things, are right in each place. */
function readThingsHeld(sql: postgres.ISql) {
  return sql<{ placeId: PlaceId; things: number }[]>`
    select place_id as "placeId", sum(things)::int as things from (
      select place_id, count(*) as things from position where thing_id not in ${goneThings(sql)} group by place_id
      union all
      select place_id, count(*) from stock_level
      where number <> 0 and thing_id not in ${goneThings(sql)} group by place_id) held
    group by place_id`;
}

/** The latest replacement value of one's own things right in each place, times their number, by its currency. */
function readWorth(sql: postgres.ISql) {
  // An index gives the values in this order, so nothing large is sorted.
  const latest = sql`
    select distinct on (thing_id) thing_id, currency, amount_minor from replacement_value
    order by thing_id desc, on_date desc, id desc`;
  const own = sql`v.thing_id not in ${goneThings(sql)} and v.thing_id not in (select id from thing where whose <> 'ours')`;
  return sql<{ placeId: PlaceId; currency: string; minor: number }[]>`
    select place_id as "placeId", currency, least(sum(minor), ${EXACT_MAX}::numeric)::float8 as minor from (
      select x.place_id, v.currency, sum(v.amount_minor) as minor
      from (${latest}) v join position x on x.thing_id = v.thing_id where ${own} group by x.place_id, v.currency
      union all
      select s.place_id, v.currency, sum(s.number::numeric * v.amount_minor)
      from (select * from stock_level where number > 0) s cross join lateral (
        select thing_id, currency, amount_minor from replacement_value r
        where r.thing_id = s.thing_id order by on_date desc, id desc limit 1) v
      where ${own} group by s.place_id, v.currency) held
    group by place_id, currency`;
}

function readEstimates(sql: postgres.ISql) {
  return sql<{ placeId: PlaceId; currency: string; minor: number }[]>`
    select place_id as "placeId", currency, least(sum(amount_minor), ${EXACT_MAX}::numeric)::float8 as minor
    from sundries where place_id is not null group by place_id, currency`;
}

const FIGURE_OF = { faulty: 'faulty', 'not-found': 'notFound', overdue: 'overdue' } as const satisfies Record<
  Matter,
  keyof Figures
>;

/** What lies right in each place. */
async function readOwnFigures(sql: postgres.ISql, now: number): Promise<ReadonlyMap<PlaceId, Figures>> {
  const [held, worth, estimates, matters] = await Promise.all([
    readThingsHeld(sql),
    readWorth(sql),
    readEstimates(sql),
    readOpenMatters(sql, now),
  ]);
  const own = new Map<PlaceId, Figures>();
  const add = (id: PlaceId, figures: Partial<Figures>) =>
    own.set(id, addFigures(own.get(id) ?? NO_FIGURES, { ...NO_FIGURES, ...figures }));
  for (const { placeId, things } of held) add(placeId, { things });
  for (const { placeId, ...money } of worth) add(placeId, { worth: [money] });
  for (const { placeId, ...money } of estimates) add(placeId, { estimate: [money] });
  for (const { placeId, matter } of matters) if (placeId !== null) add(placeId, { [FIGURE_OF[matter]]: 1 });
  return own;
}

/** Every place with what it is inside of now, and the figures of everything in it at `now` (UTC ms). */
export async function readTree(sql: postgres.ISql, now: number): Promise<PlaceNode[]> {
  const [places, own] = await Promise.all([readNesting(sql), readOwnFigures(sql, now)]);
  const sums = sumOutwards(places, own);
  return places.map(({ thingId: _thing, parentId: _parent, ...place }) => ({
    ...place,
    ...(sums.get(place.id) ?? NO_FIGURES),
    here: own.get(place.id)?.things ?? 0,
  }));
}
