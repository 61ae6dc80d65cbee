// Makes the outfit when the database is empty, and edits it later.
import { isDeepStrictEqual } from 'node:util';
import type postgres from 'postgres';
import type { z } from 'zod';
import type { Outfit, outfitFactsSchema } from '#domain/place.ts';
import type { FieldFault } from '#domain/record.ts';
import { decide, type Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal, Kept } from '../record/keep.ts';
import { findCurrencyFault, findZoneFault } from './standards.ts';
import { readOutfit } from './store.ts';

export type OutfitFacts = z.infer<typeof outfitFactsSchema>;
/** The one row's id; the feed names the outfit by it. */
export const OUTFIT_REF = '1';
const DAYS_OF_MONTH = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

function columnsOf(facts: OutfitFacts) {
  return {
    name: facts.name,
    currency: facts.currency,
    zone: facts.zone,
    units: facts.units,
    year_end: facts.yearEnd,
    mains_volts: facts.mainsVolts,
    day_turns_minutes: facts.dayTurnsMinutes,
    last_look: [...facts.lastLook],
  };
}

function findFaults(facts: OutfitFacts): FieldFault[] {
  const faults = [...findCurrencyFault('/currency', facts.currency), ...findZoneFault('/zone', facts.zone)];
  const [month, day] = facts.yearEnd.split('-').map(Number);
  if ((day ?? 0) > (DAYS_OF_MONTH[(month ?? 0) - 1] ?? 0))
    faults.push({
      pointer: '/yearEnd',
      detail: 'is no day of that month; the last day of a year is often 12-31',
    });
  return faults;
}

function factsOf({ demo: _demo, version: _version, ...facts }: Outfit): OutfitFacts {
  return facts;
}

async function write(tx: Tx, facts: OutfitFacts, before: Outfit | null): Promise<Kept<Outfit>> {
  if (before === null)
    await tx`insert into outfit ${tx({ id: 1, ...columnsOf(facts) })} on conflict (id) do nothing`;
  else await tx`update outfit set ${tx(columnsOf(facts))}, version = version + 1 where id = 1`;
  await announceChange(tx, 'outfit', OUTFIT_REF);
  const record = await readOutfit(tx);
  return record === null ? { refusal: { kind: 'no-outfit' } } : { made: before === null, record };
}

/**
 * Sets the outfit's facts. `ifMatch` is the version that its editor read, null for the first time. In this order: a
 * fact is no currency, zone or day · somebody was faster (a first time that finds the same facts is a repeat).
 */
export async function keepOutfit(
  sql: postgres.Sql,
  facts: OutfitFacts,
  ifMatch: number | null,
): Promise<Kept<Outfit>> {
  const fields = findFaults(facts);
  if (fields.length > 0) return { refusal: { kind: 'contradiction', fields } };
  return decide<{ made: boolean; record: Outfit }, KeepRefusal>(sql, async (tx) => {
    await tx`lock table outfit in share row exclusive mode`;
    const before = await readOutfit(tx);
    if (before === null && ifMatch !== null) return { refusal: { kind: 'no-outfit' } };
    if (before !== null && ifMatch === null && isDeepStrictEqual(factsOf(before), facts))
      return { made: false, record: before };
    if (before !== null && ifMatch === null) return { refusal: { kind: 'if-match-missing' } };
    if (before !== null && before.version !== ifMatch)
      return { refusal: { kind: 'version-moved', current: before.version } };
    return write(tx, facts, before);
  });
}
