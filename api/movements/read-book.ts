// Reads a book (#domain/book.ts) out of the ledger: of the whole outfit, or of the things that one question touches.
import type postgres from 'postgres';
import type { Book, Level, Position } from '#domain/book.ts';
import { type LineRow, positionColumns, recordedOf } from './line-rows.ts';
import { withOlderInLoops } from './older-in-loops.ts';

export interface BookAsked {
  /** UTC ms: where things were then, and every line since. */
  readonly since: number;
  readonly things: 'all' | readonly string[];
  /** Lines that name no thing come along when they are of this stop; with 'all', all do. */
  readonly stopId?: string;
}

type Ids = 'all' | readonly string[];

function among(sql: postgres.ISql, column: postgres.Fragment, ids: Ids): postgres.Fragment {
  return ids === 'all' ? sql`true` : sql`${column} = any(${[...ids]}::uuid[])`;
}

/** Where each thing was at `since`. The cache knows where nothing has moved meanwhile; the ledger is asked for the rest. */
function readBase(sql: postgres.ISql, { since, things }: BookAsked) {
  return sql<Position[]>`
    select ${positionColumns(sql)} from position p join movement m on m.id = p.movement_id
    where p.at < ${since} and ${among(sql, sql`p.thing_id`, things)}
    union all
    select ${positionColumns(sql)} from position p cross join lateral (
      select * from movement line
      where line.thing_id = p.thing_id and line.kind = 'move' and line.at < ${since}
        and not exists (select from movement v where v.voids = line.id)
      order by line.at desc, line.id desc limit 1) m
    where p.at >= ${since} and ${among(sql, sql`p.thing_id`, things)}`;
}

/** How many there were at `since`: the cache, and for what was counted or taken since then the ledger up to it. */
function readLevels(sql: postgres.ISql, { since, things }: BookAsked) {
  return sql<Level[]>`
    with stirred as (
      select distinct m.thing_id, place.id as place_id
      from movement m cross join lateral (values (m.to_id), (m.from_id)) place (id)
      where m.at >= ${since} and m.kind in ('quantity', 'hand-count') and place.id is not null
        and ${among(sql, sql`m.thing_id`, things)})
    select l.thing_id as "thingId", l.place_id as "placeId", l.number from stock_level l
    where ${among(sql, sql`l.thing_id`, things)}
      and not exists (select from stirred s where s.thing_id = l.thing_id and s.place_id = l.place_id)
    union all
    select s.thing_id, s.place_id, coalesce(counted.number, 0) + coalesce((
      select sum(case when m.to_id = s.place_id then m.number else 0 end
               - case when m.from_id = s.place_id then m.number else 0 end)
      from movement m
      where m.thing_id = s.thing_id and m.kind = 'quantity' and m.at < ${since} and s.place_id in (m.to_id, m.from_id)
        and (counted.id is null or (m.at, m.id) > (counted.at, counted.id))
        and not exists (select from movement v where v.voids = m.id)), 0)
    from stirred s left join lateral (
      select h.number, h.at, h.id from movement h
      where h.thing_id = s.thing_id and h.kind = 'hand-count' and h.to_id = s.place_id and h.at < ${since}
        and not exists (select from movement v where v.voids = h.id)
      order by h.at desc, h.id desc limit 1) counted on true`;
}

function lineColumns(sql: postgres.ISql): postgres.Fragment {
  return sql`m.id, m.body, m.thing_id as "thingId", m.at, m.time_uncertain as "timeUncertain"`;
}

function readSince(sql: postgres.ISql, { since, things, stopId }: BookAsked) {
  const ofStop = stopId === undefined ? sql`false` : sql`m.stop_id = ${stopId}`;
  const wanted = things === 'all' ? sql`true` : sql`(${among(sql, sql`m.thing_id`, things)} or ${ofStop})`;
  return sql<(LineRow & { id: string })[]>`
    with lines as (select ${lineColumns(sql)} from movement m where m.at >= ${since} and ${wanted})
    select * from lines
    union
    select ${lineColumns(sql)} from movement m where m.voids in (select id from lines)`;
}

/**
 * Lines before `since` that still say something: findings of absence that no later move or hand count answers, and
 * seals. They change no position and no number, so they may stand beside the others.
 */
function readStanding(sql: postgres.ISql, { since, things }: BookAsked) {
  return sql<(LineRow & { id: string })[]>`
    select ${lineColumns(sql)} from movement m
    where m.kind in ('absence', 'seal', 'unseal') and m.at < ${since} and ${among(sql, sql`m.thing_id`, things)}
      and not exists (select from movement v where v.voids = m.id)
      and not exists (
        select from movement later
        where later.thing_id = m.thing_id and (later.at, later.id) > (m.at, m.id) and later.at < ${since}
          and (later.kind in ('seal', 'unseal') and m.kind in ('seal', 'unseal')
            or later.kind in ('move', 'hand-count') and m.kind = 'absence')
          and not exists (select from movement v where v.voids = later.id))`;
}

/** The book. Reads in the caller's transaction, so that all parts are of one moment. */
export async function readBook(sql: postgres.ISql, asked: BookAsked): Promise<Book> {
  const [base, levels, lines, standing] = await Promise.all([
    readBase(sql, asked),
    readLevels(sql, asked),
    readSince(sql, asked),
    readStanding(sql, asked),
  ]);
  const rows = new Map([...standing, ...lines].map((row) => [row.id, row]));
  return {
    since: asked.since,
    base: await withOlderInLoops(sql, asked.since, base),
    levels: [...levels],
    lines: [...rows.values()].map(recordedOf),
  };
}
