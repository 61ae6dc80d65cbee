// What the lines of one count stand on: when it was opened and closed, when its working day began, what was where
// then and is where now, and which lines of the ledger speak of which thing.
import type { Moved } from './absence.ts';
import type { Book } from './book.ts';
import { type BroughtAboard, broughtAboard } from './brought-aboard.ts';
import { chainOf } from './chain.ts';
import { type HotelRoom, roomOf } from './hotel-room.ts';
import type { MovementId, PlaceId, StopId, ThingId } from './ids.ts';
import type { Ground } from './item-evidence.ts';
import { putsAway, vouches } from './item-evidence.ts';
import { livingLines, type Standing, standingBefore, standingOf } from './ledger.ts';
import type { Movement, MovementKind, MovementOf, Recorded } from './movement.ts';
import type { Outfit, Place, Stop } from './place.ts';
import { sealsOf } from './seal.ts';
import type { Steps } from './steps.ts';
import type { Thing, ThingClass } from './thing.ts';
import { firstKnownZone, workingDayBeganAt } from './working-day.ts';

/** Everything a count is computed from. The book has to reach back to the beginning of the working day. */
export interface CountFacts {
  readonly book: Book;
  readonly stop: Stop;
  readonly round: number;
  readonly outfit: Pick<Outfit, 'dayTurnsMinutes' | 'zone'>;
  readonly places: ReadonlyMap<PlaceId, Place>;
  readonly things: ReadonlyMap<ThingId, Thing>;
  readonly classes: ReadonlyMap<string, ThingClass>;
}

/** Walks from a place outwards, each walk done once. */
export interface Chains {
  readonly standing: Standing;
  readonly of: (placeId: PlaceId) => readonly PlaceId[];
  readonly holds: (placeId: PlaceId, outerId: PlaceId) => boolean;
  readonly containersAround: (placeId: PlaceId) => readonly ThingId[];
  /** The containers a chain begins with, inner to outer. */
  readonly containersOf: (chain: readonly PlaceId[]) => readonly ThingId[];
}

export interface CountGround extends Ground {
  readonly vehicleId: PlaceId;
  readonly began: Chains;
  readonly now: Chains;
  /** What stood in the hotel as the day began, where the count is of one. */
  readonly room: HotelRoom;
  /** What came aboard since the working day began and before the count was opened. */
  readonly brought: BroughtAboard;
  readonly closing: Recorded<MovementOf<'close'>> | null;
  /** Living lines since the count was opened, in the order of law 4. */
  readonly linesSinceOpening: readonly Recorded[];
  readonly linesOf: (thingId: ThingId) => readonly Recorded[];
  /** The moves of a container since the working day began. */
  readonly movesToday: (containerId: ThingId) => readonly Moved[];
}

/** Chains over one standing of the ledger. */
export function chainsOver(places: ReadonlyMap<PlaceId, Place>, standing: Standing): Chains {
  const of = remembered((placeId: PlaceId) => chainOf(placeId, { places, history: standing.history }));
  const containersOf = (chain: readonly PlaceId[]): readonly ThingId[] => {
    const around: ThingId[] = [];
    for (const outerId of chain) {
      const place = places.get(outerId);
      if (place?.kind !== 'container' || place.thingId === null) break;
      around.push(place.thingId);
    }
    return around;
  };
  const containersAround = remembered((placeId: PlaceId) => containersOf(of(placeId)));
  const holds = (placeId: PlaceId, outerId: PlaceId) => of(placeId).includes(outerId);
  return { standing, of, holds, containersAround, containersOf };
}

/** A function that answers the same question once: many things lie in few places. */
export function remembered<Q, A>(answer: (question: Q) => A): (question: Q) => A {
  const answers = new Map<Q, { readonly answer: A }>();
  return (question) => {
    const known = answers.get(question) ?? { answer: answer(question) };
    answers.set(question, known);
    return known.answer;
  };
}

/** The ground of the count of this stop and round; null while no living line opened it. */
export function* groundInSteps(facts: CountFacts): Steps<CountGround | null> {
  const { book, stop, round, outfit, places } = facts;
  const lines = livingLines(book.lines);
  const ofCount = (line: { stopId: StopId | null; round: number | null }) =>
    line.stopId === stop.id && line.round === round;
  const opening = lines.find((line) => line.kind === 'open' && ofCount(line));
  if (opening?.kind !== 'open') return null;
  const closing = lines.find((line) => line.kind === 'close' && ofCount(line));
  const zone = firstKnownZone([stop.zone, outfit.zone]);
  const dayBeganAt = workingDayBeganAt(opening.at, zone, outfit.dayTurnsMinutes);
  const closedAt = closing?.at ?? Number.POSITIVE_INFINITY;
  yield;
  const now = chainsOver(places, standingOf(book));
  yield;
  const before = (at: number) => chainsOver(places, standingBefore(now.standing, Math.max(at, book.since)));
  const began = before(dayBeganAt);
  const closed = closing === undefined ? now : before(closing.at + 1);
  yield;
  const linesOf = linesByThing(lines);
  const at = (instant: number) => (instant <= closedAt ? closed : now);
  const since = Math.max(dayBeganAt, book.since);
  const isGoneTo = (placeId: PlaceId) => isAtStoreOrParty(now.of(placeId), places);
  const { vehicleId } = opening;
  const room = roomOf({ stop, places, things: facts.things, vehicleId, began });
  const brought = broughtAboard({
    vehicleId,
    places,
    began,
    now,
    room,
    lines: lines.filter((line) => line.at >= since && line.at < opening.at),
    isAway: (line) => putsAway(line, line.toId, { openedAt: opening.at, isAtStoreOrParty: isGoneTo }),
  });
  return {
    vehicleId: opening.vehicleId,
    openedAt: opening.at,
    dayBeganAt,
    closedAt,
    closing: closing?.kind === 'close' ? closing : null,
    began,
    now,
    room,
    brought,
    broughtBy: brought.numberBy,
    linesSinceOpening: lines.filter((line) => line.at >= opening.at),
    linesOf,
    movesToday: remembered((containerId: ThingId) =>
      linesOf(containerId)
        .filter((line) => isOf(line, 'move'))
        .filter((line) => line.at >= dayBeganAt),
    ),
    lineById: lineFinder(book),
    openedAtOf: openingFinder(lines),
    isAboard: (placeId, instant) => at(instant).holds(placeId, opening.vehicleId),
    isAtStoreOrParty: isGoneTo,
    containersAround: (placeId, instant) =>
      (instant <= dayBeganAt ? began : at(instant)).containersAround(placeId),
    sealAnswersFor: sealWitness(book),
  };
}

function isAtStoreOrParty(chain: readonly PlaceId[], places: ReadonlyMap<PlaceId, Place>): boolean {
  for (const placeId of chain) {
    const kind = places.get(placeId)?.kind;
    if (kind === 'store' || kind === 'party') return true;
    if (kind !== 'container' && kind !== 'compartment') return false;
  }
  return false;
}

/** Looks up the lines that speak of one thing, in the order given. */
export function linesByThing(lines: readonly Recorded[]): (thingId: ThingId) => readonly Recorded[] {
  const byThing = new Map<ThingId, Recorded[]>();
  for (const line of lines) {
    if (!('thingId' in line) || line.thingId === null) continue;
    const known = byThing.get(line.thingId);
    if (known === undefined) byThing.set(line.thingId, [line]);
    else known.push(line);
  }
  const none: readonly Recorded[] = [];
  return (thingId) => byThing.get(thingId) ?? none;
}

/** Looks up any line of the book by its id, also one that a void names. The index is made on the first question. */
export function lineFinder(book: Book): (id: MovementId) => Recorded | undefined {
  let byId: Map<MovementId, Recorded> | undefined;
  return (id) => {
    byId ??= new Map(book.lines.map((line) => [line.id, line]));
    return byId.get(id);
  };
}

/** Looks up when the count of a stop and round was opened, by its earliest living line; indexed when first asked. */
export function openingFinder(lines: readonly Recorded[]): Ground['openedAtOf'] {
  let openedAt: Map<string, number> | undefined;
  return (stopId, round) => {
    // Entered from the latest to the earliest, which is the one that stays.
    openedAt ??= new Map(
      lines
        .filter((line) => isOf(line, 'open'))
        .reverse()
        .map((line) => [`${line.stopId}/${line.round}`, line.at]),
    );
    return openedAt.get(`${stopId}/${round}`) ?? null;
  };
}

// Few moves say that a seal is unbroken, so the seals of that moment are worked out only for these.
function sealWitness(book: Book): Ground['sealAnswersFor'] {
  const sealsAt = new Map<MovementId, ReturnType<typeof sealsOf>>();
  return (move: Moved, thingId: ThingId) => {
    if (!move.sealUnbroken || move.thingId === null || !vouches(move.check)) return false;
    const seals = sealsAt.get(move.id) ?? sealsOf(book, move.at);
    sealsAt.set(move.id, seals);
    return seals.get(move.thingId)?.contents.includes(thingId) ?? false;
  };
}

/** Whether a line is of one of these kinds. */
export function isOf<K extends MovementKind>(
  line: Recorded,
  ...kinds: readonly K[]
): line is Recorded<Extract<Movement, { kind: K }>> {
  for (const kind of kinds) if (kind === line.kind) return true;
  return false;
}
