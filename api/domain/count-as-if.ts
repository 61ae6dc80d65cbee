// What a count would ask for if somebody opened it now: paper is printed before anybody counts.
import { computeCount } from './count.ts';
import type { CountFacts } from './count-ground.ts';
import type { Count } from './count-shape.ts';
import { clockRunIdSchema, deviceIdSchema, makeUuidV7, movementIdSchema, type PlaceId } from './ids.ts';
import { assert } from './invariant.ts';
import type { MovementOf, Recorded } from './movement.ts';

// This line is never written: it needs no device, and an id only because every line has one.
const NOBODY = '00000000-0000-4000-8000-000000000000';
const NO_RANDOM = new Uint8Array(16);

/**
 * The count of a stop and round as it stands; where nobody has opened it, as it would stand if it were opened for this
 * vehicle at `now` (UTC ms). The book has to reach back to the beginning of the working day of that moment.
 */
export function countAsIfOpened(
  facts: CountFacts,
  vehicleId: PlaceId,
  now: number,
): { readonly count: Count; readonly isOpened: boolean } {
  const known = computeCount(facts);
  if (known !== null) return { count: known, isOpened: true };
  const opening = openingAt(facts, vehicleId, now);
  const count = computeCount({ ...facts, book: { ...facts.book, lines: [...facts.book.lines, opening] } });
  assert(count !== null, 'a count that has an opening line is open');
  return { count, isOpened: false };
}

function openingAt(
  { stop, round }: CountFacts,
  vehicleId: PlaceId,
  now: number,
): Recorded<MovementOf<'open'>> {
  return {
    kind: 'open',
    id: movementIdSchema.parse(makeUuidV7(now, NO_RANDOM)),
    deviceId: deviceIdSchema.parse(NOBODY),
    deviceNo: 1,
    deviceAt: now,
    clockRun: clockRunIdSchema.parse(NOBODY),
    personId: null,
    stopId: stop.id,
    round,
    note: null,
    vehicleId,
    at: now,
    timeUncertain: false,
  };
}
