// How many pieces of counted gear are still missing at each place that a finding of absence speaks of.
import type { Finding, Missing, Past } from './absence.ts';
import { missingAfter } from './absence.ts';
import type { Book } from './book.ts';
import type { PlaceId, ThingId } from './ids.ts';
import type { Recorded } from './movement.ts';

export interface MissingPieces {
  readonly missing: Missing;
  readonly number: number;
  /** How many are really at that place, as far as lines say. */
  readonly present: number;
}

interface Place {
  /** How many are really there, as far as lines say: what the ledger has, less what is missing and was not counted. */
  present: number;
  countedAt: number;
  missing: Missing | null;
  number: number;
  /** How many of `number` were taken off `present` and not counted since. */
  taken: number;
}

/**
 * Follows one counted thing. A finding says how many are missing (1 where it names no number): beyond what was counted
 * by hand in the same count, else out of what the ledger has there. A later hand count that finds more than were left
 * brings that many back. `own`: the thing's living lines in the order of law 4.
 */
export function missingPieces(
  thingId: ThingId,
  own: readonly Recorded[],
  { book, past }: { readonly book: Book; readonly past: Past },
): readonly MissingPieces[] {
  if (!own.some((line) => line.kind === 'absence')) return [];
  const places = new Map<PlaceId | null, Place>();
  const placeOf = (placeId: PlaceId | null) => {
    const known = places.get(placeId) ?? { present: 0, countedAt: -1, missing: null, number: 0, taken: 0 };
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
      placeOf(line.fromId).present -= line.number;
      placeOf(line.toId).present += line.number;
    }
  }
  return [...places.values()].flatMap(({ missing, number, present }) =>
    missing === null ? [] : [{ missing, number, present }],
  );
}

function takeFinding(place: Place, finding: Finding, past: Past): void {
  const openedAt =
    finding.stopId === null || finding.round === null ? null : past.openedAtOf(finding.stopId, finding.round);
  // A finding takes back what an earlier one said of the same place, before it says its own number.
  place.present += place.taken;
  place.missing = missingAfter(finding, place.missing);
  place.number = finding.number ?? 1;
  const wasCounted = openedAt !== null && place.countedAt >= openedAt;
  place.taken = wasCounted || place.missing === null ? 0 : place.number;
  place.present -= place.taken;
}

function takeHandCount(place: Place, number: number, at: number): void {
  place.number -= Math.max(0, number - place.present);
  place.present = number;
  place.taken = 0;
  place.countedAt = at;
  if (place.number <= 0) Object.assign(place, { number: 0, missing: null });
}
