// The cache of laws 5 and 6 made anew from the whole ledger, and proved equal to it (law 12). By other statements than the
// write path's, which look at one thing at a time: a fault in those would show here.
import type postgres from 'postgres';
import { assert } from '#domain/invariant.ts';
import { decide, type Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';

export interface Rebuilt {
  /** How many rows the ledger asks for. */
  readonly positions: number;
  readonly levels: number;
  /** How many rows were missing, other, or too many, and are right now. */
  readonly mended: number;
}

/** What the ledger says, each table once, in tables of this transaction. */
async function readLedger(tx: Tx): Promise<void> {
  await tx`create temporary table living on commit drop as
    select id, kind, thing_id, from_id, to_id, number, at from movement m
    where kind in ('move', 'quantity', 'hand-count') and thing_id is not null
      and not exists (select from movement v where v.voids = m.id)`;
  await tx`create temporary table said_position on commit drop as
    select distinct on (thing_id) thing_id, to_id as place_id, at, id as movement_id
    from living where kind = 'move' order by thing_id, at desc, id desc`;
  await tx`create temporary table said_level on commit drop as
    select thing_id, place_id, sum(number)::bigint as number from (
      select *, count(*) filter (where is_count) over (partition by thing_id, place_id order by at, id) as counts_so_far,
        count(*) filter (where is_count) over (partition by thing_id, place_id) as counts
      from (
        select thing_id, to_id as place_id, number, at, id, true as is_count from living where kind = 'hand-count'
        union all select thing_id, to_id, number, at, id, false from living where kind = 'quantity' and to_id is not null
        union all select thing_id, from_id, -number, at, id, false from living where kind = 'quantity' and from_id is not null
      ) told) counted
    where counts_so_far = counts group by thing_id, place_id having sum(number) <> 0`;
}

const keptPositions = (tx: Tx) => tx`select thing_id, place_id, at, movement_id from position`;
const keptLevels = (tx: Tx) => tx`select thing_id, place_id, number from stock_level where number <> 0`;

/** The things of which cache and ledger do not say the same. */
async function findDifferent(tx: Tx): Promise<readonly string[]> {
  const rows = await tx<{ id: string }[]>`
    select thing_id as id from ((table said_position except ${keptPositions(tx)})
      union all (${keptPositions(tx)} except table said_position)) p
    union all
    select thing_id from ((table said_level except ${keptLevels(tx)})
      union all (${keptLevels(tx)} except table said_level)) l`;
  return rows.map((row) => row.id);
}

async function mend(tx: Tx, things: readonly string[]): Promise<void> {
  await tx`delete from position where thing_id = any(${[...things]}::uuid[])`;
  await tx`delete from stock_level where thing_id = any(${[...things]}::uuid[])`;
  await tx`
    insert into position (thing_id, place_id, at, movement_id)
    select thing_id, place_id, at, movement_id from said_position where thing_id = any(${[...things]}::uuid[])`;
  await tx`
    insert into stock_level (thing_id, place_id, number)
    select thing_id, place_id, number from said_level where thing_id = any(${[...things]}::uuid[])`;
}

/**
 * Holds writers back, reads the whole ledger, puts right what differs, and looks again. Throws when cache and ledger
 * still differ then, which nothing but a fault here could make. Phones keep no cache of the service's: nothing that
 * they were told was of it but the things named in the feed.
 */
export async function rebuildCache(sql: postgres.Sql): Promise<Rebuilt> {
  const outcome = await decide<Rebuilt, never>(sql, async (tx) => {
    await tx`lock table movement, position, stock_level in share row exclusive mode`;
    await readLedger(tx);
    const different = await findDifferent(tx);
    await mend(tx, different);
    const left = await findDifferent(tx);
    assert(left.length === 0, 'the cache is what the ledger says once it was made anew');
    await noteChanges(
      tx,
      [...new Set(different)].map((ref) => ({ kind: 'thing', ref })),
    );
    const [counted] = await tx<{ positions: number; levels: number }[]>`
      select (select count(*) from said_position)::int as positions, (select count(*) from said_level)::int as levels`;
    assert(counted !== undefined, 'a count of rows is a row');
    return { ...counted, mended: different.length };
  });
  assert(!('refusal' in outcome), 'making the cache anew refuses nothing');
  return outcome;
}
