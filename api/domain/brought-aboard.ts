// What lines brought aboard a vehicle between the beginning of a working day and the opening of a count. A van is
// packed in the morning, and what was packed then can be left behind as well as what lay in it overnight.
import type { Moved } from './absence.ts';
import type { Position } from './book.ts';
import { chainOf } from './chain.ts';
import type { Chains } from './count-ground.ts';
import type { HotelRoom } from './hotel-room.ts';
import { asPlaceId, type PlaceId, type ThingId } from './ids.ts';
import { compareLines } from './ledger.ts';
import type { MovementOf, Recorded } from './movement.ts';
import type { Place } from './place.ts';

/** How something that was not aboard when the day began came aboard first. */
export interface Arrival {
  readonly placeId: PlaceId;
  /** The line that brought it: its own, or that of a container it was in. */
  readonly line: { readonly at: number; readonly id: string };
  /** The places around it at that moment, from `placeId` outwards. */
  readonly chain: readonly PlaceId[];
}

export interface BroughtAboard {
  readonly items: ReadonlyMap<ThingId, Arrival>;
  /** Counted gear at places aboard that held none of it when the day began. */
  readonly numbers: ReadonlyMap<ThingId, ReadonlyMap<PlaceId, Arrival>>;
  /** How many of a counted thing this line brought to a place aboard; 0 for what only came back. */
  readonly numberBy: (lineId: string, thingId: ThingId, placeId: PlaceId) => number;
}

export interface Packing {
  readonly vehicleId: PlaceId;
  readonly places: ReadonlyMap<PlaceId, Place>;
  readonly began: Chains;
  readonly now: Chains;
  /** What is asked for already, because it stood in the hotel. */
  readonly room: HotelRoom;
  /** Living lines since the working day began and before the count was opened, in the order of law 4. */
  readonly lines: readonly Recorded[];
  /** Whether a line put something away, so that it did not merely go out. */
  readonly isAway: (line: Recorded<MovementOf<'quantity'>>) => boolean;
}

type Instant = Arrival['line'];
/** By thing and place; null is outside of all places. */
type Numbers = Map<ThingId, Map<PlaceId | null, number>>;

interface Sweep extends Packing {
  readonly items: Map<ThingId, Arrival>;
  readonly numbers: Map<ThingId, Map<PlaceId, Arrival>>;
  readonly by: Map<string, number>;
  /** Pieces that some place aboard asks for already and that were taken elsewhere since. */
  readonly outThere: Numbers;
  /** Pieces in places that are not aboard, which nobody asks for until such a place comes aboard. */
  readonly waiting: Numbers;
  readonly contentsAt: (placeId: PlaceId, line: Instant) => readonly ThingId[];
}

/**
 * What came aboard. An item did when it or a container around it was moved to where it then was aboard, by the chain
 * of that moment. Of counted gear, pieces did that a line brought to a place aboard, or that a container held when it
 * came aboard, less those that had only been taken from aboard since the day began: a load-in and back brings none.
 */
export function broughtAboard(packing: Packing): BroughtAboard {
  const sweep: Sweep = {
    ...packing,
    items: new Map(),
    numbers: new Map(),
    by: new Map(),
    outThere: new Map(),
    waiting: new Map(),
    contentsAt: contentsFinder(packing),
  };
  const roomed = new Set(packing.room.pieces.map(({ thingId, stoodAt }) => `${thingId} ${stoodAt}`));
  for (const { thingId, stoodAt, placeId, number } of packing.room.pieces) {
    if (stoodAt !== placeId) add(sweep.outThere, thingId, stoodAt, number);
  }
  for (const [thingId, levels] of packing.began.standing.levels) {
    for (const [placeId, number] of levels) {
      const isContainer = packing.places.get(placeId)?.kind === 'container';
      if (roomed.has(`${thingId} ${placeId}`)) continue;
      if (isContainer && !packing.began.holds(placeId, packing.vehicleId))
        add(sweep.waiting, thingId, placeId, number);
    }
  }
  for (const line of packing.lines) {
    if (line.kind === 'move') bringItem(line, sweep);
    else if (line.kind === 'quantity') bringNumber(line, sweep);
    else if (line.kind === 'hand-count') countWaiting(line, sweep);
  }
  const { items, numbers, by } = sweep;
  return {
    items,
    numbers,
    numberBy: (lineId, thingId, placeId) => by.get(`${lineId} ${thingId} ${placeId}`) ?? 0,
  };
}

function bringItem(move: Moved, sweep: Sweep): void {
  if (move.thingId === null) return;
  const chain = chainAt(move.toId, move, sweep);
  if (!chain.includes(sweep.vehicleId)) return;
  bring(move.thingId, { placeId: move.toId, line: move, chain }, sweep);
}

// A container brings what is in it, and the containers in it what is in those. Two may be said to be in each other,
// so nothing is brought inside itself.
function bring(thingId: ThingId, arrival: Arrival, sweep: Sweep): void {
  const { began, vehicleId, places, items, waiting, room } = sweep;
  const start = began.standing.positions.get(thingId);
  const wasAsked = room.items.has(thingId) || (start !== undefined && began.holds(start.placeId, vehicleId));
  if (!wasAsked && !items.has(thingId)) items.set(thingId, arrival);
  const placeId = asPlaceId(thingId);
  if (places.get(placeId)?.kind !== 'container' || arrival.chain.includes(placeId)) return;
  const inside = { placeId, line: arrival.line, chain: [placeId, ...arrival.chain] };
  for (const innerId of sweep.contentsAt(placeId, arrival.line)) bring(innerId, inside, sweep);
  for (const [countedId, levels] of waiting) {
    bringPieces(countedId, levels.get(placeId) ?? 0, inside, sweep);
    levels.delete(placeId);
  }
}

function bringPieces(thingId: ThingId, number: number, arrival: Arrival, sweep: Sweep): void {
  const { placeId, line } = arrival;
  if (number <= 0) return;
  const key = `${line.id} ${thingId} ${placeId}`;
  sweep.by.set(key, (sweep.by.get(key) ?? 0) + number);
  if (isAskedFor(thingId, placeId, sweep)) return;
  const arrivals = sweep.numbers.get(thingId) ?? new Map<PlaceId, Arrival>();
  sweep.numbers.set(thingId, arrivals.set(placeId, arrival));
}

function bringNumber(line: Recorded<MovementOf<'quantity'>>, sweep: Sweep): void {
  const { thingId, number, fromId, toId } = line;
  const isOurs =
    fromId !== null &&
    (isAskedFor(thingId, fromId, sweep) || chainAt(fromId, line, sweep).includes(sweep.vehicleId));
  const asked = isOurs ? number : Math.min(number, sweep.outThere.get(thingId)?.get(fromId) ?? 0);
  const fresh = number - asked;
  if (!isOurs) {
    add(sweep.outThere, thingId, fromId, -asked);
    add(sweep.waiting, thingId, fromId, -fresh);
  }
  if (!sweep.isAway(line)) add(sweep.outThere, thingId, toId, asked);
  if (toId === null) return;
  const chain = chainAt(toId, line, sweep);
  if (chain.includes(sweep.vehicleId)) bringPieces(thingId, fresh, { placeId: toId, line, chain }, sweep);
  else add(sweep.waiting, thingId, toId, fresh);
}

// A hand count says anew what a place holds that nobody asks for yet.
function countWaiting(line: Recorded<MovementOf<'hand-count'>>, sweep: Sweep): void {
  const { thingId, toId, number } = line;
  if (isAskedFor(thingId, toId, sweep) || chainAt(toId, line, sweep).includes(sweep.vehicleId)) return;
  const known = sweep.outThere.get(thingId)?.get(toId) ?? 0;
  const before = sweep.waiting.get(thingId)?.get(toId) ?? 0;
  add(sweep.waiting, thingId, toId, Math.max(0, number - known) - before);
}

function isAskedFor(thingId: ThingId, placeId: PlaceId, sweep: Sweep): boolean {
  const { began, vehicleId, numbers, room } = sweep;
  if (numbers.get(thingId)?.has(placeId)) return true;
  if (room.pieces.some((known) => known.thingId === thingId && known.placeId === placeId)) return true;
  const number = began.standing.levels.get(thingId)?.get(placeId) ?? 0;
  return number > 0 && began.holds(placeId, vehicleId);
}

function add(numbers: Numbers, thingId: ThingId, placeId: PlaceId | null, number: number): void {
  const levels = numbers.get(thingId) ?? new Map<PlaceId | null, number>();
  numbers.set(thingId, levels.set(placeId, (levels.get(placeId) ?? 0) + number));
}

/** The chain of a place at the moment of a line. Up to the vehicle fixed parents say it, which do not change. */
function chainAt(placeId: PlaceId, line: Instant, { places, vehicleId, now }: Packing): readonly PlaceId[] {
  const fixed: PlaceId[] = [];
  for (let next: PlaceId | null = placeId; next !== null && !fixed.includes(next); ) {
    fixed.push(next);
    const place = places.get(next);
    if (next === vehicleId || place === undefined) return fixed;
    if (place.thingId !== null) {
      const { history } = now.standing;
      return chainOf(placeId, { places, history: { get: (id) => upTo(line, history.get(id)) } });
    }
    next = place.parentId;
  }
  return fixed;
}

/** The positions up to a line, newest first. */
function upTo(line: Instant, history: readonly Position[] = []): readonly Position[] {
  const first = history.findIndex(({ at, movementId: id }) => compareLines({ at, id }, line) <= 0);
  return first < 0 ? [] : history.slice(first);
}

// Few lines move a container aboard, so what was ever in one is gathered on the first question.
function contentsFinder({ places, now }: Packing): Sweep['contentsAt'] {
  let everIn: Map<PlaceId, Set<ThingId>> | undefined;
  const { history } = now.standing;
  const gather = () => {
    const found = new Map<PlaceId, Set<ThingId>>();
    for (const [thingId, positions] of history) {
      for (const { placeId } of positions) {
        if (places.get(placeId)?.kind !== 'container') continue;
        const known = found.get(placeId);
        if (known === undefined) found.set(placeId, new Set([thingId]));
        else known.add(thingId);
      }
    }
    return found;
  };
  return (placeId, line) => {
    everIn ??= gather();
    return [...(everIn.get(placeId) ?? [])].filter(
      (thingId) => upTo(line, history.get(thingId))[0]?.placeId === placeId,
    );
  };
}
