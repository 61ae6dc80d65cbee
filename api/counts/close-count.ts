// Closes a count from the desk, checked against the ledger: a phone closes where the person stands, with what it knows.
import type postgres from 'postgres';
import { closingOf } from '#domain/count-answers.ts';
import { isOpen } from '#domain/count-compartments.ts';
import type { StopId } from '#domain/ids.ts';
import type { Refusal } from '../http/problem.ts';
import { recordAsService } from '../movements/service-lines.ts';
import { readCount } from './read-count.ts';

/** Null when it is closed, also when it was before; else why not. */
export async function closeCount(
  sql: postgres.Sql,
  { stopId, round }: { readonly stopId: StopId; readonly round: number },
  now: number,
): Promise<Refusal | null> {
  const count = await readCount(sql, stopId, round);
  if (count === null) return { kind: 'not-found' };
  if (count.closed !== null) return null;
  if (!count.mayClose) {
    const compartments = count.compartments.filter((compartment) => compartment.answer === null).length;
    return { kind: 'lines-open', open: count.lines.filter(isOpen).length, compartments };
  }
  await sql.begin((tx) => recordAsService(tx, [closingOf(count)], now));
  return null;
}
