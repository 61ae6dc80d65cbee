// Facts of a thing that are right by themselves and cannot be true together. Desk and service ask the same.
import type { FieldFault } from './record.ts';
import type { ThingFacts, ThingKind } from './thing.ts';

const DECIMALS_KEPT = { wattHours: 2, volts: 2, ampereHours: 3, lithiumGrams: 2 } as const;

function hasMoreDecimals(value: number | null, decimals: number): boolean {
  return value !== null && Number(value.toFixed(decimals)) !== value;
}

function findPairFaults(facts: ThingFacts): FieldFault[] {
  const faults: FieldFault[] = [];
  if ((facts.feeMinor === null) !== (facts.feePer === null))
    faults.push({
      pointer: '/feePer',
      detail: 'a fee needs an amount and what it is per; give both or neither',
    });
  if ((facts.purchaseMinor === null) !== (facts.purchaseCurrency === null))
    faults.push({ pointer: '/purchaseCurrency', detail: 'a price needs its currency; give both or neither' });
  if (facts.whoseFrom !== null && facts.whoseUntil !== null && facts.whoseUntil < facts.whoseFrom)
    faults.push({
      pointer: '/whoseUntil',
      detail: 'lies before the day it came; swap or correct the two dates',
    });
  if (facts.whose === 'ours' && facts.ownerPlaceId !== null)
    faults.push({ pointer: '/ownerPlaceId', detail: 'a thing of ours has no other owner; leave it empty' });
  return faults;
}

function findHomeFaults(kind: ThingKind, facts: ThingFacts): FieldFault[] {
  const seen = new Set<string>();
  return facts.homes.flatMap((home, index): FieldFault[] => {
    // An item lives in one place per way of travelling; counted gear is spread over several.
    const key = kind === 'item' ? home.way : `${home.way} ${home.placeId}`;
    const repeated = seen.has(key);
    seen.add(key);
    if (repeated && kind === 'item')
      return [{ pointer: `/homes/${index}/way`, detail: 'an item has one home per way of travelling' }];
    if (repeated)
      return [{ pointer: `/homes/${index}/placeId`, detail: 'stands twice; add the two numbers up' }];
    if (kind === 'item' && home.number !== 1)
      return [{ pointer: `/homes/${index}/number`, detail: 'an item is one; more of them are counted gear' }];
    return [];
  });
}

/**
 * What contradicts in the facts of a thing of this kind: each pair of fields that cannot be true together, homes that
 * stand twice, a container that is no item, and decimals beyond those kept (watt-hours, volts and grams of lithium
 * 2, ampere-hours 3), which would be lost. Empty when all fits. Refers to nothing outside the facts.
 */
export function findContradictions(kind: ThingKind, facts: ThingFacts): FieldFault[] {
  const faults = [...findPairFaults(facts), ...findHomeFaults(kind, facts)];
  if (facts.container && kind !== 'item')
    faults.push({
      pointer: '/container',
      detail: 'only an item can be a container; enter each case as an item',
    });
  for (const name of ['wattHours', 'volts', 'ampereHours', 'lithiumGrams'] as const) {
    const decimals = DECIMALS_KEPT[name];
    if (hasMoreDecimals(facts[name], decimals))
      faults.push({ pointer: `/${name}`, detail: `is kept with ${decimals} decimal places; round it` });
  }
  return faults;
}
