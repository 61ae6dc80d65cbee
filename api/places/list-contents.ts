// What lies in a place, by windows of a list in a total order: a list of 100,000 things is read where it is looked at.
import type postgres from 'postgres';
import { searchWords } from '#domain/fold.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Money, Thing } from '#domain/thing.ts';
import type { ContentLine, Reach } from '#domain/where.ts';
import { readThings } from '../things/store.ts';
import { insideNow } from './inside.ts';
import { type OpenMatter, readOpenMatters } from './open-matters.ts';

export interface Window {
  /** So many lines are passed over. Lines that come or go meanwhile move the others. */
  readonly skip: number;
  readonly limit: number;
}
export interface ContentsAsked {
  readonly placeId: PlaceId;
  readonly reach: Reach;
  /** Open: with an open matter. Stray: lives elsewhere. */
  readonly only?: 'open' | 'stray' | undefined;
  readonly text?: string | undefined;
}

interface Held {
  readonly id: ThingId;
  readonly placeId: PlaceId;
  readonly number: number;
  readonly at: number | null;
  readonly isPlace: boolean;
  readonly isStray: boolean;
}

/** The places asked about, as a fragment that yields ids. */
function placesReached(sql: postgres.ISql, placeId: PlaceId, reach: Reach) {
  return reach === 'here' ? sql`select ${placeId}::uuid as id` : insideNow(sql, [placeId]);
}

/** Each place that is reached, with itself and all that it is inside of now. */
function outwardsOfReached(sql: postgres.ISql) {
  // UNION drops what was seen before, so that containers that are said to be in each other come to an end.
  return sql`
    outwards (start, id) as (
      select id, id from reached
      union
      select o.start, next.id from outwards o join place p on p.id = o.id
        left join position x on x.thing_id = p.thing_id
        cross join lateral (select coalesce(p.parent_id, x.place_id) as id) next
      where next.id is not null)`;
}

const isStray = (sql: postgres.ISql) => sql`(
  exists (select from home m where m.thing_id = h.thing_id and m.way = 'driving')
  and not exists (
    select from home m join outwards o on o.id = m.place_id
    where m.thing_id = h.thing_id and m.way = 'driving' and o.start = h.place_id))`;

/** The lines asked for, as a fragment to be put behind "with recursive … select": from, where. */
function heldThings(sql: postgres.ISql, asked: ContentsAsked, matters: readonly OpenMatter[]) {
  const words = searchWords(asked.text ?? '').map((word) => sql`t.folded like ${`%${word}%`}`);
  const open = [...new Set(matters.map(({ thingId }) => thingId))];
  const only =
    asked.only === 'open' ? [sql`t.id = any(${open}::uuid[])`] : asked.only === 'stray' ? [isStray(sql)] : [];
  const where = [...words, ...only].reduce((all, part) => sql`${all} and ${part}`, sql`true`);
  return sql`
    from (
      select thing_id, place_id, 1::bigint as number, at from position where place_id in (select id from reached)
      union all
      select thing_id, place_id, number, null from stock_level
      where place_id in (select id from reached) and number <> 0) h
    join thing t on t.id = h.thing_id
    where t.merged_into_id is null
      and not (t.kind = 'item' and exists (select from write_off w where w.thing_id = t.id)) and ${where}`;
}

const withReached = (sql: postgres.ISql, { placeId, reach }: ContentsAsked) => sql`
  with recursive reached as materialized (${placesReached(sql, placeId, reach)}), ${outwardsOfReached(sql)}`;

/** How many lines there are. */
export async function countContents(
  sql: postgres.ISql,
  asked: ContentsAsked,
  matters: readonly OpenMatter[],
): Promise<number> {
  const [row] = await sql<{ all: number }[]>`
    ${withReached(sql, asked)} select count(*)::int as "all" ${heldThings(sql, asked, matters)}`;
  return row?.all ?? 0;
}

function worthOf(thing: Thing, number: number): Money | null {
  if (thing.whose !== 'ours' || thing.replacement === null) return null;
  const minor = thing.replacement.minor * Math.max(0, number);
  return Number.isSafeInteger(minor) ? { ...thing.replacement, minor } : null;
}

function lineOf(held: Held, thing: Thing, matters: readonly OpenMatter[]): ContentLine {
  const { id, kind, name, unit, whose, homes, faulty } = thing;
  const own = matters.filter(({ thingId }) => thingId === id);
  return {
    id,
    kind,
    name,
    unit,
    whose,
    homes,
    faulty,
    number: held.number,
    at: held.at,
    placeId: held.placeId,
    isPlace: held.isPlace,
    isStray: held.isStray,
    worth: worthOf(thing, held.number),
    notFound: own.some(({ matter }) => matter === 'not-found'),
    overdue: own.find(({ matter }) => matter === 'overdue')?.until ?? null,
  };
}

/** A window of what lies in a place, sorted by name, id, place; written-off things lie nowhere. */
export async function listContents(
  sql: postgres.ISql,
  asked: ContentsAsked & Window,
  now: number,
): Promise<{ readonly contents: ContentLine[]; readonly all: number }> {
  const matters = await readOpenMatters(sql, now);
  const [all, held] = await Promise.all([
    countContents(sql, asked, matters),
    sql<Held[]>`
      ${withReached(sql, asked)}
      select h.thing_id as id, h.place_id as "placeId", h.number::float8 as number, h.at::float8 as at,
        exists (select from place p where p.thing_id = h.thing_id) as "isPlace", ${isStray(sql)} as "isStray"
      from (
        select t.id as thing_id, t.name, h.place_id, h.number, h.at ${heldThings(sql, asked, matters)}
        order by t.name, t.id, h.place_id offset ${asked.skip} limit ${asked.limit}) h
      order by h.name, h.thing_id, h.place_id`,
  ]);
  const things = await readThings(
    sql,
    held.map(({ id }) => id),
  );
  const thingOf = new Map(things.map((thing) => [thing.id, thing]));
  return {
    all,
    contents: held.flatMap((line) => {
      const thing = thingOf.get(line.id);
      return thing === undefined ? [] : [lineOf(line, thing, matters)];
    }),
  };
}
