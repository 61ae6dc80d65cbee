// In what order the things that are still open or still out are named: first what cannot be replaced.
import type { URGENCIES } from './count-shape.ts';
import type { Thing, ThingClass } from './thing.ts';

export type Urgency = (typeof URGENCIES)[number];

/** What the order looks at. `missingBefore` is true for what was not found on an earlier working day. */
export interface Ranked {
  readonly missingBefore: boolean;
  readonly urgency: Urgency;
  readonly forgotten: number;
  readonly valueRank: number;
  readonly name: string;
  readonly thingId: string;
  readonly placeId: string | null;
}

const RANK_OF_URGENCY: Record<Urgency, number> = {
  'cannot-be-replaced': 0,
  'stops-the-shoot': 1,
  'by-value': 2,
};

/**
 * Why a thing stands where it does. A medium that holds rushes and whatever is not ours cannot be replaced by
 * buying another; next comes what the shoot of tomorrow stops without (its class says so); the rest goes by value.
 */
export function urgencyOf(thing: Pick<Thing, 'holdsRushes' | 'whose'>, kin: ThingClass | undefined): Urgency {
  if (thing.holdsRushes || thing.whose !== 'ours') return 'cannot-be-replaced';
  return kin?.essential ? 'stops-the-shoot' : 'by-value';
}

/**
 * Orders two things that are missing or open, most urgent first: not found since an earlier day, then urgency, then
 * the most-forgotten, then the dearer, then by name and id. Names are compared by code unit, not by a language, so
 * that phone, desk and service agree. Negative when `a` comes first; 0 only for the same thing at the same place.
 */
export function compareRanked(a: Ranked, b: Ranked): number {
  return (
    Number(b.missingBefore) - Number(a.missingBefore) ||
    RANK_OF_URGENCY[a.urgency] - RANK_OF_URGENCY[b.urgency] ||
    b.forgotten - a.forgotten ||
    b.valueRank - a.valueRank ||
    compareText(a.name, b.name) ||
    compareText(a.thingId, b.thingId) ||
    compareText(a.placeId ?? '', b.placeId ?? '')
  );
}

/** Compares by code unit: for ids in lower case this is the order of their bytes. */
export function compareText(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
