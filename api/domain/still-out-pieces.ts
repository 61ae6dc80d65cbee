// How many pieces of counted gear are still missing at each place that a finding of absence speaks of.
import type { Finding, Missing, Past } from './absence.ts';
import { missingAfter } from './absence.ts';
import type { Book } from './book.ts';
import type { PlaceId, ThingId } from './ids.ts';
import type { MovementOf, Recorded } from './movement.ts';

export interface MissingPieces {
  readonly missing: Missing;
  readonly number: number;
  /** How many are really at that place, as far as lines say. */
  readonly present: number;
}

/** Pieces of one place that went in somewhere and did not come back: until the finding, and since then. */
interface Outs {
  before: number;
  since: number;
}

interface Place {
  /** How many are really there, as far as lines say: what the ledger has, less what is missing and was not counted. */
  present: number;
  countedAt: number;
  missing: Missing | null;
  number: number;
  /** How many of `number` were taken off `present` and not counted since. */
  taken: number;
  readonly outs: Map<PlaceId, Outs>;
}

type Handed = Recorded<MovementOf<'quantity'>>;

/**
 * Follows one counted thing. A finding says how many are missing (1 where it names no number): of those that are out
 * there first, then beyond what was counted by hand in the same count, else out of what the ledger has there. Pieces
 * come back by a later hand count that finds more than were left, or by a line that brings them from where they went.
 * Of several that are out, those that are not missing are taken to come back first, so that nothing is called found
 * that may not be. `own`: the thing's living lines in the order of law 4. `isOut`: whether a line only took them in
 * somewhere.
 */
export function missingPieces(
  thingId: ThingId,
  own: readonly Recorded[],
  facts: { readonly book: Book; readonly past: Past; readonly isOut: (line: Handed) => boolean },
): readonly MissingPieces[] {
  const { book, past, isOut } = facts;
  if (!own.some((line) => line.kind === 'absence')) return [];
  const places = new Map<PlaceId | null, Place>();
  const placeOf = (placeId: PlaceId | null) => {
    const nothing = { present: 0, countedAt: -1, missing: null, number: 0, taken: 0 };
    const known = places.get(placeId) ?? { ...nothing, outs: new Map() };
    places.set(placeId, known);
    return known;
  };
  for (const level of book.levels) {
    if (level.thingId === thingId) placeOf(level.placeId).present += level.number;
  }
  for (const line of own) {
    if (line.kind === 'absence') takeFinding(placeOf(line.toId), line, past);
    else if (line.kind === 'hand-count') takeHandCount(placeOf(line.toId), line.number, line.at);
    else if (line.kind === 'quantity') {
      takeOut(placeOf(line.fromId), line, isOut(line));
      takeIn(placeOf(line.toId), line);
    }
  }
  return [...places.values()].flatMap(({ missing, number, present }) =>
    missing === null ? [] : [{ missing, number, present }],
  );
}

function takeOut(place: Place, line: Handed, isOut: boolean): void {
  place.present -= line.number;
  if (!isOut || line.toId === null) return;
  const outs = place.outs.get(line.toId) ?? { before: 0, since: 0 };
  place.outs.set(line.toId, { ...outs, since: outs.since + line.number });
}

function takeIn(place: Place, line: Handed): void {
  place.present += line.number;
  const outs = line.fromId === null ? undefined : place.outs.get(line.fromId);
  if (outs === undefined || line.fromId === null) return;
  // What went in after the finding is none of what is missing.
  const ofSince = Math.min(outs.since, line.number);
  const ofBefore = Math.min(outs.before, line.number - ofSince);
  const notMissing = Math.max(0, outsBefore(place) - place.number);
  place.outs.set(line.fromId, { before: outs.before - ofBefore, since: outs.since - ofSince });
  comeBack(place, Math.max(0, ofBefore - notMissing));
}

function outsBefore(place: Place): number {
  let sum = 0;
  for (const { before } of place.outs.values()) sum += before;
  return sum;
}

function takeFinding(place: Place, finding: Finding, past: Past): void {
  const openedAt =
    finding.stopId === null || finding.round === null ? null : past.openedAtOf(finding.stopId, finding.round);
  // A finding takes back what an earlier one said of the same place, before it says its own number.
  place.present += place.taken;
  place.missing = missingAfter(finding, place.missing);
  place.number = finding.number ?? 1;
  for (const [placeId, { before, since }] of place.outs)
    place.outs.set(placeId, { before: before + since, since: 0 });
  const wasCounted = openedAt !== null && place.countedAt >= openedAt;
  place.taken = wasCounted || place.missing === null ? 0 : Math.max(0, place.number - outsBefore(place));
  place.present -= place.taken;
}

function takeHandCount(place: Place, number: number, at: number): void {
  const more = Math.max(0, number - place.present);
  const notMissing = Math.max(0, outsBefore(place) - place.number);
  comeBack(place, Math.max(0, more - notMissing));
  // What is counted here is out there no longer, also where no line brought it back.
  forgetOuts(place, more);
  place.present = number;
  place.taken = 0;
  place.countedAt = at;
}

function forgetOuts(place: Place, number: number): void {
  let rest = number;
  for (const [placeId, { before, since }] of place.outs) {
    const ofSince = Math.min(since, rest);
    const ofBefore = Math.min(before, rest - ofSince);
    rest -= ofSince + ofBefore;
    place.outs.set(placeId, { before: before - ofBefore, since: since - ofSince });
  }
}

function comeBack(place: Place, number: number): void {
  place.number -= number;
  if (place.number <= 0) Object.assign(place, { number: 0, missing: null });
}
