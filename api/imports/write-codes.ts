// The codes that a list's lines carry, tied to the things that they made.
import { randomUUID } from 'node:crypto';
import type { Tx } from '../database/decide.ts';
import { tieCode } from '../movements/tie-code.ts';
import type { ListToBringIn } from './bring-in.ts';
import type { NewThing } from './make-things.ts';

const CODES_AT_ONCE = 5_000;

/** Ties every code from now on, and the lines of the ledger that were scanned with one before anybody knew it. */
export async function writeCodes(tx: Tx, things: readonly NewThing[], bring: ListToBringIn): Promise<void> {
  const coded = things.flatMap(({ id, line }) =>
    line.facts.code === null ? [] : [{ id, ...line.facts.code }],
  );
  for (let at = 0; at < coded.length; at += CODES_AT_ONCE) {
    const some = coded.slice(at, at + CODES_AT_ONCE);
    await tx`
      insert into code ${tx(some.map(({ id, code, kind }) => ({ id: randomUUID(), code, kind, thing_id: id, since: bring.now })))}`;
  }
  const open = await tx<{ code: string }[]>`
    select distinct code from movement
    where kind = 'move' and thing_id is null and code = any(${coded.map(({ code }) => code)})`;
  const scanned = new Set(open.map((row) => row.code));
  for (const { id, code, kind } of coded)
    if (kind !== 'gtin' && scanned.has(code)) await tieCode(tx, code, id);
  if (coded.length > 0) bring.report({ step: 'codes', done: coded.length, of: coded.length });
}
