// The tree of all places as things lie now, with numbers that the database adds up.
import type postgres from 'postgres';
import type { Position } from '#domain/book.ts';
import { type AtlasPlace, loopsIn } from '#domain/chain.ts';
import { asPlaceId, type PlaceId, type ThingId } from '#domain/ids.ts';
import type { Money } from '#domain/thing.ts';
import { addFigures, type Figures, NO_FIGURES, type PlaceNode, sumOutwards } from '#domain/where.ts';
import { positionColumns } from '../movements/line-rows.ts';
import { withOlderInLoops } from '../movements/older-in-loops.ts';
import { type Matter, readOpenMatters } from './open-matters.ts';

type PlaceRow = Omit<PlaceNode, keyof Figures | 'here'> & {
  readonly thingId: ThingId | null;
  readonly parentId: PlaceId | null;
};

/** Beyond this a double counts no longer one by one; no sum of money is as large. */
const EXACT_MAX = String(Number.MAX_SAFE_INTEGER);

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

/** Things and their value right in each place, by the currency of the value; null where a thing has none. */
function readHoldings(sql: postgres.ISql) {
  return sql<{ placeId: PlaceId; things: number; currency: string | null; minor: number }[]>`
    with latest as materialized (
      select distinct on (thing_id) thing_id, currency, amount_minor from replacement_value
      order by thing_id desc, on_date desc, id desc),
    held as (
      select place_id, thing_id, 1::bigint as number from position
      union all select place_id, thing_id, number from stock_level where number <> 0)
    select h.place_id as "placeId", count(*)::int as things, v.currency,
      least(coalesce(sum(greatest(h.number, 0)::numeric * v.amount_minor), 0), ${EXACT_MAX}::numeric)::float8 as minor
    from held h join thing t on t.id = h.thing_id
    left join latest v on v.thing_id = t.id and t.whose = 'ours'
    where t.merged_into_id is null
      and not (t.kind = 'item' and exists (select from write_off w where w.thing_id = t.id))
    group by h.place_id, v.currency`;
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
  const [holdings, estimates, matters] = await Promise.all([
    readHoldings(sql),
    readEstimates(sql),
    readOpenMatters(sql, now),
  ]);
  const own = new Map<PlaceId, Figures>();
  const add = (id: PlaceId, figures: Partial<Figures>) =>
    own.set(id, addFigures(own.get(id) ?? NO_FIGURES, { ...NO_FIGURES, ...figures }));
  for (const { placeId, things, currency, minor } of holdings) {
    const worth: Money[] = currency === null ? [] : [{ currency, minor }];
    add(placeId, { things, worth });
  }
  for (const { placeId, ...money } of estimates) add(placeId, { estimate: [money] });
  for (const { placeId, matter } of matters) if (placeId !== null) add(placeId, { [FIGURE_OF[matter]]: 1 });
  return own;
}

/** Every place with what it is inside of now, and the figures of everything in it at `now` (UTC ms). */
export async function readTree(sql: postgres.ISql, now: number): Promise<PlaceNode[]> {
  const [rows, own] = await Promise.all([readRows(sql), readOwnFigures(sql, now)]);
  const places = await withoutRings(sql, rows);
  const sums = sumOutwards(places, own);
  return places.map(({ thingId: _thing, parentId: _parent, ...place }) => ({
    ...place,
    ...(sums.get(place.id) ?? NO_FIGURES),
    here: own.get(place.id)?.things ?? 0,
  }));
}
