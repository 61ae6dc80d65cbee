// Reads lines of the ledger, latest first, page by page.
import type postgres from 'postgres';
import { type LineRow, wireOf } from './line-rows.ts';

export interface LinesAsked {
  readonly thing?: string | undefined;
  readonly place?: string | undefined;
  readonly stop?: string | undefined;
  readonly since?: number | undefined;
  readonly after?: { readonly at: number; readonly id: string } | undefined;
  readonly limit: number;
}

function whereOf(sql: postgres.ISql, asked: LinesAsked): postgres.Fragment {
  const { thing, place, stop, since, after } = asked;
  return sql`true
    ${thing === undefined ? sql`` : sql`and thing_id = ${thing}`}
    ${place === undefined ? sql`` : sql`and ${place} in (to_id, from_id)`}
    ${stop === undefined ? sql`` : sql`and stop_id = ${stop}`}
    ${since === undefined ? sql`` : sql`and at >= ${since}`}
    ${after === undefined ? sql`` : sql`and (at, id) < (${after.at}, ${after.id}::uuid)`}`;
}

/** One page, and where the next begins. */
export async function readLines(sql: postgres.Sql, asked: LinesAsked) {
  const rows = await sql<(LineRow & { id: string })[]>`
    select id, body, thing_id as "thingId", at, time_uncertain as "timeUncertain" from movement
    where ${whereOf(sql, asked)} order by at desc, id desc limit ${asked.limit + 1}`;
  const shown = rows.slice(0, asked.limit);
  const last = shown.at(-1);
  return {
    movements: shown.map(wireOf),
    next: rows.length > shown.length && last ? { at: last.at, id: last.id } : null,
  };
}

const WAITING_SHOWN_MAX = 1_000;

/** What waits, oldest first. */
export async function readWaitingLines(sql: postgres.Sql) {
  const rows = await sql<(LineRow & { waitsFor: string; ref: string })[]>`
    select body, null as "thingId", at, time_uncertain as "timeUncertain", waits_for as "waitsFor", ref
    from movement_waiting order by at, id limit ${WAITING_SHOWN_MAX}`;
  return rows.map(({ waitsFor, ref, ...row }) => ({ ...wireOf(row), waitsFor, ref }));
}
