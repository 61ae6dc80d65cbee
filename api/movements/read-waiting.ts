// Lines that wait for something, with the time they were given when they came.
import type postgres from 'postgres';
import { movementSchema } from '#domain/movement.ts';
import type { WaitsFor } from './line-refs.ts';

interface WaitingRow {
  readonly body: unknown;
  readonly at: number;
  readonly timeUncertain: boolean;
  readonly receivedAt: number;
}

/** The lines that wait for one of these, in order; locked, so that two arrivals do not let the same line in twice. */
export async function readWaiting(tx: postgres.ISql, waitsFor: WaitsFor, refs: readonly string[]) {
  const rows = await tx<WaitingRow[]>`
    select body, at, time_uncertain as "timeUncertain", received_at as "receivedAt" from movement_waiting
    where waits_for = ${waitsFor} and ref = any(${[...refs]}::text[]) order by id for update`;
  return rows.map((row) => ({ ...row, line: movementSchema.parse(row.body) }));
}
