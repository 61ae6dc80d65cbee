// What lies in a place, by windows of a list in a total order: a list of 100,000 things is read where it is looked at.
import type postgres from 'postgres';
import { searchWords } from '#domain/fold.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Money, Thing } from '#domain/thing.ts';
import type { ContentLine, Reach } from '#domain/where.ts';
import { readThings } from '../things/store.ts';
import { goneThings } from './gone-things.ts';
import { type OpenMatter, readOpenMatters } from './open-matters.ts';
import { placesAround, placesInside, readNesting } from './read-nesting.ts';

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

/** The places that are asked about, and what each of them is inside of. */
interface Reached {
  readonly ids: readonly PlaceId[];
  readonly starts: readonly PlaceId[];
  readonly around: readonly PlaceId[];
}

async function readReached(sql: postgres.ISql, { placeId, reach }: ContentsAsked): Promise<Reached> {
  const rows = await readNesting(sql);
  const ids = reach === 'here' ? [placeId] : placesInside(placeId, rows, ({ insideId }) => insideId);
  return { ids, ...placesAround(ids, rows) };
}

const withAround = (sql: postgres.ISql, { starts, around }: Reached) => sql`
  with outwards as materialized (
    select start, array_agg(id) as ids from unnest(${[...starts]}::uuid[], ${[...around]}::uuid[]) as u (start, id)
    group by start)`;

const isStray = (sql: postgres.ISql) => sql`coalesce((
  select not bool_or(m.place_id = any(o.ids)) from home m join outwards o on o.start = h.place_id
  where m.thing_id = h.thing_id and m.way = 'driving'), false)`;

/** What is in the places reached, as a fragment behind "from". What somebody filters by id is looked up by id. */
function heldHere(
  sql: postgres.ISql,
  { only }: ContentsAsked,
  { ids }: Reached,
  matters: readonly OpenMatter[],
) {
  const open = [...new Set(matters.map(({ thingId }) => thingId))];
  const kept = sql`place_id = any(${[...ids]}::uuid[]) and thing_id not in ${goneThings(sql)}
    and ${only === 'open' ? sql`thing_id = any(${open}::uuid[])` : sql`true`}`;
  const held = sql`(
    select thing_id, place_id, 1::bigint as number, at from position where ${kept}
    union all
    select thing_id, place_id, number, null from stock_level where number <> 0 and ${kept}) h`;
  if (only !== 'stray') return held;
  // All at once, because the question asked for each line anew takes minutes for a hundred thousand.
  return sql`(
    select h.thing_id, h.place_id, h.number, h.at from ${held}
    join home m on m.thing_id = h.thing_id and m.way = 'driving' join outwards o on o.start = h.place_id
    group by h.thing_id, h.place_id, h.number, h.at having not bool_or(m.place_id = any(o.ids))) h`;
}

/** The words of the filter; `t` is the thing of a line. */
function hasWords(sql: postgres.ISql, { text }: ContentsAsked) {
  return searchWords(text ?? '').reduce(
    (all, word) => sql`${all} and t.folded like ${`%${word}%`}`,
    sql`true`,
  );
}

async function countReached(
  sql: postgres.ISql,
  asked: ContentsAsked,
  reached: Reached,
  matters: readonly OpenMatter[],
): Promise<number> {
  const isFiltered = searchWords(asked.text ?? '').length > 0;
  const [row] = await sql<{ all: number }[]>`
    ${withAround(sql, reached)}
    select count(*)::int as "all" from ${heldHere(sql, asked, reached, matters)}
      ${isFiltered ? sql`join thing t on t.id = h.thing_id` : sql``}
    where ${hasWords(sql, asked)}`;
  return row?.all ?? 0;
}

/** How many lines the list of this place has by each filter. */
export async function countContents(
  sql: postgres.ISql,
  place: Pick<ContentsAsked, 'placeId' | 'reach'>,
  matters: readonly OpenMatter[],
): Promise<{ readonly here: number; readonly open: number; readonly stray: number }> {
  const reached = await readReached(sql, place);
  const count = (only?: 'open' | 'stray') => countReached(sql, { ...place, only }, reached, matters);
  const [here, open, stray] = await Promise.all([count(), count('open'), count('stray')]);
  return { here, open, stray };
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
  const [matters, reached] = await Promise.all([readOpenMatters(sql, now), readReached(sql, asked)]);
  const [all, held] = await Promise.all([
    countReached(sql, asked, reached, matters),
    sql<Held[]>`
      ${withAround(sql, reached)}
      select h.thing_id as id, h.place_id as "placeId", h.number::float8 as number, h.at::float8 as at,
        exists (select from place p where p.thing_id = h.thing_id) as "isPlace", ${isStray(sql)} as "isStray"
      from (
        select t.id as thing_id, t.name, h.place_id, h.number, h.at
        from ${heldHere(sql, asked, reached, matters)} join thing t on t.id = h.thing_id
        where ${hasWords(sql, asked)}
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
