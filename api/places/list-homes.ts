// What lives in a place: how much of it is there, and where the rest is.
import type postgres from 'postgres';
import { searchWords } from '#domain/fold.ts';
import type { PlaceId } from '#domain/ids.ts';
import type { HomeLine, Reach } from '#domain/where.ts';
import { goneThings } from './gone-things.ts';
import type { Window } from './list-contents.ts';
import type { OpenMatter } from './open-matters.ts';
import { placesInside, readNesting } from './read-nesting.ts';

export interface HomesAsked {
  readonly placeId: PlaceId;
  /** Inside: also what lives in fixed parts of it. What lives in a case lives where the case stands only while it does. */
  readonly reach: Reach;
  /** Missing: it lives here when driving, and less of it is here. */
  readonly only?: 'missing' | undefined;
  readonly text?: string | undefined;
}

const ELSEWHERE_MAX = 5;

/** The places whose dwellers are asked for, and all that count as being here. */
interface Counted {
  readonly reached: readonly PlaceId[];
  readonly inside: readonly PlaceId[];
}

async function readCounted(sql: postgres.ISql, { placeId, reach }: HomesAsked): Promise<Counted> {
  const rows = await readNesting(sql);
  const reached = reach === 'here' ? [placeId] : placesInside(placeId, rows, ({ parentId }) => parentId);
  return { reached, inside: placesInside(placeId, rows, ({ insideId }) => insideId) };
}

function livingHere(sql: postgres.ISql, asked: HomesAsked, { reached, inside }: Counted) {
  const words = searchWords(asked.text ?? '').map((word) => sql`t.folded like ${`%${word}%`}`);
  const only = asked.only === 'missing' ? [sql`l.way = 'driving' and n.here < l.lives`] : [];
  const where = [...words, ...only].reduce((all, part) => sql`${all} and ${part}`, sql`true`);
  return sql`
    from (
      select thing_id, way, sum(number) as lives from home where place_id = any(${[...reached]}::uuid[])
      group by thing_id, way) l
    join thing t on t.id = l.thing_id
    left join position x on x.thing_id = t.id
    cross join lateral (
      select case when t.kind = 'item' then (x.place_id is not null and x.place_id = any(${[...inside]}::uuid[]))::int
        else coalesce((
          select sum(s.number) from stock_level s
          where s.thing_id = t.id and s.place_id = any(${[...inside]}::uuid[])), 0) end as here) n
    where t.id not in ${goneThings(sql)} and ${where}`;
}

async function countLiving(sql: postgres.ISql, asked: HomesAsked, counted: Counted): Promise<number> {
  const [row] = await sql<
    { all: number }[]
  >`select count(*)::int as "all" ${livingHere(sql, asked, counted)}`;
  return row?.all ?? 0;
}

/** How many lines the list of this place has, and how many of them are missing. */
export async function countHomes(
  sql: postgres.ISql,
  place: Pick<HomesAsked, 'placeId' | 'reach'>,
): Promise<{ readonly lives: number; readonly missing: number }> {
  const counted = await readCounted(sql, place);
  const [lives, missing] = await Promise.all([
    countLiving(sql, place, counted),
    countLiving(sql, { ...place, only: 'missing' }, counted),
  ]);
  return { lives, missing };
}

/** A window of what lives in a place, sorted by name, id, way. */
export async function listHomes(
  sql: postgres.ISql,
  asked: HomesAsked & Window,
  matters: readonly OpenMatter[],
): Promise<{ readonly homes: HomeLine[]; readonly all: number }> {
  const missing = [
    ...new Set(matters.filter(({ matter }) => matter === 'not-found').map((one) => one.thingId)),
  ];
  const counted = await readCounted(sql, asked);
  const { inside } = counted;
  const [all, homes] = await Promise.all([
    countLiving(sql, asked, counted),
    sql<HomeLine[]>`
      select w.*, coalesce((
        select json_agg(json_build_object('placeId', e.place_id, 'number', e.number) order by e.number desc, e.place_id)
        from (
          select place_id, 1::bigint as number from position where thing_id = w.id
            and place_id <> all(${[...inside]}::uuid[])
          union all
          select place_id, number from stock_level where thing_id = w.id and number <> 0
            and place_id <> all(${[...inside]}::uuid[])
          order by number desc, place_id limit ${ELSEWHERE_MAX}) e), '[]') as elsewhere
      from (
        select t.id, t.kind, t.name, t.unit, l.way, l.lives::float8 as lives, n.here::float8 as here,
          t.id = any(${missing}::uuid[]) as "notFound"
        ${livingHere(sql, asked, counted)}
        order by t.name, t.id, l.way offset ${asked.skip} limit ${asked.limit}) w
      order by w.name, w.id, w.way`,
  ]);
  return { all, homes: [...homes] };
}
