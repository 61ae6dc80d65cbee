// The codes of an entry that goes mean the one that stays, from now on; what they meant before is kept.
import { randomUUID } from 'node:crypto';
import type { ThingId } from '#domain/ids.ts';
import type { Tx } from '../database/decide.ts';

interface CodeRow {
  readonly id: string;
  readonly code: string;
  readonly kind: string;
  readonly since: number;
}

/** Two people who put one code somewhere at the same time wait for one another, as in api/codes/put-code.ts. */
async function lockCodes(tx: Tx, codes: readonly CodeRow[]): Promise<void> {
  for (const code of [...new Set(codes.map((row) => row.code))].sort())
    await tx`select pg_advisory_xact_lock(hashtextextended(${`code ${code}`}, 0))`;
}

function readOpen(tx: Tx, thingId: ThingId, ids: readonly string[] | 'all') {
  return tx<CodeRow[]>`
    select id, code, kind, since::float8 as since from code
    where thing_id = ${thingId} and until is null and ${ids === 'all' ? tx`true` : tx`id = any(${[...ids]}::uuid[])`}
    order by code, id`;
}

/** Ends the codes' meaning at `now` and begins the other. A product number that stands on both only ends. The new rows. */
async function turnCodes(
  tx: Tx,
  codes: readonly CodeRow[],
  to: ThingId,
  now: number,
): Promise<readonly string[]> {
  const there = new Set((await readOpen(tx, to, 'all')).map((row) => row.code));
  const made: string[] = [];
  for (const { id, code, kind, since } of codes) {
    const at = Math.max(now, since);
    await tx`update code set until = ${at} where id = ${id}`;
    if (there.has(code)) continue;
    const row = { id: randomUUID(), code, kind, thing_id: to, since: at };
    await tx`insert into code ${tx(row)}`;
    made.push(row.id);
  }
  return made;
}

/** Turns all codes of one thing to the other; the ids of the meanings that begin. */
export async function handOverCodes(
  tx: Tx,
  { from, into, now }: { readonly from: ThingId; readonly into: ThingId; readonly now: number },
): Promise<readonly string[]> {
  const codes = await readOpen(tx, from, 'all');
  await lockCodes(tx, codes);
  return turnCodes(tx, await readOpen(tx, from, 'all'), into, now);
}

/** Turns those of the handed over codes back that still mean the one that stayed. */
export async function handBackCodes(
  tx: Tx,
  back: {
    readonly codes: readonly string[];
    readonly from: ThingId;
    readonly to: ThingId;
    readonly now: number;
  },
): Promise<void> {
  const codes = await readOpen(tx, back.from, back.codes);
  await lockCodes(tx, codes);
  await turnCodes(tx, await readOpen(tx, back.from, back.codes), back.to, back.now);
}
