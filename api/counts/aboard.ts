// Which things a count has to look at: what is in the vehicle now, and what moved since its working day began. Found
// from the position index outwards in, so the cost follows the vehicle and the day, not the outfit or the ledger.
import type postgres from 'postgres';
import { insideNow } from '../places/inside.ts';

async function readThingsInside(sql: postgres.ISql, roots: readonly string[]): Promise<readonly string[]> {
  // An array, because the planner expects many rows of a recursion and would read all positions there are.
  const rows = await sql<{ id: string }[]>`
    with inside as materialized (select array(${insideNow(sql, roots)}) as ids)
    select thing_id as id from position where place_id = any((select ids from inside)::uuid[])
    union
    select thing_id from stock_level where place_id = any((select ids from inside)::uuid[])`;
  return rows.map((row) => row.id);
}

async function readStirred(sql: postgres.ISql, since: number): Promise<readonly string[]> {
  const rows = await sql<{ id: string }[]>`
    select distinct thing_id as id from movement where at >= ${since} and thing_id is not null`;
  return rows.map((row) => row.id);
}

/** The ids of all things that may be a line of a count since then. `roots`: its vehicle, and of a hotel its place. */
export async function readConcerned(
  sql: postgres.ISql,
  roots: readonly string[],
  since: number,
): Promise<readonly string[]> {
  const stirred = await readStirred(sql, since);
  // A case that left today still holds what was in it when the day began.
  return [...new Set([...stirred, ...(await readThingsInside(sql, [...roots, ...stirred]))])];
}
