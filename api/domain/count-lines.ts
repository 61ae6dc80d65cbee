// The lines of a count: one for each item that was aboard when the working day began or came aboard before the count
// was opened, and one for each place aboard that held some of a counted thing.
import type { Position } from './book.ts';
import type { Arrival } from './brought-aboard.ts';
import type { CountFacts, CountGround } from './count-ground.ts';
import { isOf, remembered } from './count-ground.ts';
import type { CountLine, LineSaid } from './count-shape.ts';
import type { CountedEvent, CountedEvidence, Handed } from './counted-evidence.ts';
import { followCounted } from './counted-evidence.ts';
import type { RoomedPieces } from './hotel-room.ts';
import type { PlaceId, ThingId } from './ids.ts';
import { asThingId } from './ids.ts';
import type { ItemEvidence, ItemStart } from './item-evidence.ts';
import { followItem, putsAway, vouches } from './item-evidence.ts';
import { compareLines } from './ledger.ts';
import { isKept, withMarks } from './marks.ts';
import type { Recorded } from './movement.ts';
import { type OutThere, outThereOf } from './out-there.ts';
import type { Steps } from './steps.ts';
import type { Thing } from './thing.ts';
import { compareRanked, type Ranked, urgencyOf } from './urgency.ts';

/** A line with what the sums and the order need besides. */
export interface CountedUp {
  readonly line: CountLine;
  readonly ranked: Ranked;
  /** Pieces put away since opening that `line.expected` no longer holds. */
  readonly away: number;
}

// About a millisecond on a phone of some years.
const LINES_PER_STEP = 50;

/**
 * Every line of a count, in the order in which it is named: what nobody has answered for first, then what is absent,
 * then what is answered; inside each, not found since an earlier day, then by urgency (urgency.ts).
 */
export function* linesInSteps(facts: CountFacts, ground: CountGround): Steps<readonly CountedUp[]> {
  const counted: CountedUp[] = [];
  for (const lines of [itemLines(facts, ground), countedLines(facts, ground)]) {
    for (const line of lines) if (counted.push(line) % LINES_PER_STEP === 0) yield;
    yield;
  }
  return counted.sort((a, b) => groupOf(a.line) - groupOf(b.line) || compareRanked(a.ranked, b.ranked));
}

function groupOf(line: CountLine): number {
  if (line.state === 'open' || line.state === 'short') return 0;
  return line.state === 'absent' ? 1 : 2;
}

function countedUp(line: CountLine, valueRank: number, away: number, ground: CountGround): CountedUp {
  const { missingSince, urgency, forgotten, name, thingId, placeId } = line;
  const missingBefore = missingSince !== null && missingSince < ground.dayBeganAt;
  return { line, ranked: { missingBefore, urgency, forgotten, valueRank, name, thingId, placeId }, away };
}

/** The compartment a place belongs to: outside the outermost container around it, or the vehicle itself. */
function compartmentFinder(facts: CountFacts, ground: CountGround) {
  return remembered((chain: readonly PlaceId[]): PlaceId => {
    const inside = chain.slice(0, chain.indexOf(ground.vehicleId) + 1);
    const outermost = inside.findLastIndex((id) => facts.places.get(id)?.kind === 'container');
    return inside[outermost + 1] ?? ground.vehicleId;
  });
}

type Start = ItemStart & { readonly chain: readonly PlaceId[]; readonly roomId: PlaceId | null };

function* itemStarts(ground: CountGround): Generator<[ThingId, Start]> {
  const { began, brought, room, vehicleId } = ground;
  for (const [thingId, { placeId }] of began.standing.positions) {
    if (began.holds(placeId, vehicleId)) yield [thingId, aboardSince(placeId, ground)];
  }
  for (const [thingId, roomed] of room.items) yield [thingId, { ...roomed, after: null, isOut: true }];
  for (const [thingId, arrival] of brought.items) yield [thingId, arrivedIn(arrival, ground)];
}

const aboardSince = (placeId: PlaceId, { began }: CountGround): Start => ({
  within: began.containersAround(placeId),
  after: null,
  isOut: false,
  chain: began.of(placeId),
  roomId: null,
});

const arrivedIn = ({ chain, line }: Arrival, ground: CountGround): Start => ({
  within: ground.now.containersOf(chain),
  after: line,
  isOut: false,
  chain,
  roomId: null,
});

function* itemLines(facts: CountFacts, ground: CountGround): Generator<CountedUp> {
  const vehicleThingId = asThingId(ground.vehicleId);
  const compartmentOf = compartmentFinder(facts, ground);
  for (const [thingId, start] of itemStarts(ground)) {
    const known = facts.things.get(thingId);
    if (known?.kind !== 'item' || !isKept(known) || thingId === vehicleThingId) continue;
    const lines = ground.linesOf(thingId);
    const evidence = followItem(thingId, start, itemEvents(lines, start, ground), ground);
    if (evidence === null) continue;
    const compartmentId = compartmentOf(start.chain);
    const last = ground.now.standing.positions.get(thingId) ?? null;
    const line = {
      ...head(withMarks(known, lines), facts),
      placeId: null,
      compartmentId,
      last,
      roomId: start.roomId,
    };
    yield countedUp({ ...line, ...itemTail(evidence, thingId) }, known.valueRank, 0, ground);
  }
}

function head(thing: Thing, facts: CountFacts) {
  const kin = thing.classId === null ? undefined : facts.classes.get(thing.classId);
  return {
    thingId: thing.id,
    kind: thing.kind,
    name: thing.name,
    whose: thing.whose,
    check: thing.check ?? kin?.check ?? (thing.kind === 'counted' ? 'by-number' : 'seen'),
    urgency: urgencyOf(thing, kin),
    forgotten: kin?.forgotten ?? 0,
    faulty: thing.faulty,
  };
}

function itemTail(evidence: ItemEvidence, thingId: ThingId) {
  const { state, by, missingSince, wentOut } = evidence;
  const found = state === 'aboard' ? 1 : 0;
  const absent = state === 'absent' ? 1 : 0;
  const said = saidBy(by, state, thingId);
  return { expected: 1, found, absent, state, said, wentOut, missingSince, here: null, outThere: [] };
}

// The moves of containers matter only where a thing was in one, so most things are followed by their own lines alone.
function itemEvents(lines: readonly Recorded[], start: ItemStart, ground: CountGround) {
  const own = lines.filter((line) => isOf(line, 'move', 'absence'));
  const around = start.within;
  const entered = own.flatMap((line) =>
    line.kind === 'move' && line.at >= ground.dayBeganAt ? ground.containersAround(line.toId, line.at) : [],
  );
  return withMovesOf(entered.length === 0 ? around : [...new Set([...around, ...entered])], own, ground);
}

function withMovesOf<E extends Recorded>(around: readonly ThingId[], own: readonly E[], ground: CountGround) {
  const moves = around.flatMap((containerId) => ground.movesToday(containerId));
  return moves.length === 0 ? own : [...own, ...moves].sort(compareLines);
}

type CountedStart = Start & {
  readonly placeId: PlaceId;
  readonly began: number;
  /** Those of them that stood elsewhere: in a hotel. */
  readonly stoodAt: readonly OutThere[];
};

function countedStarts(ground: CountGround): ReadonlyMap<ThingId, readonly CountedStart[]> {
  const { began, brought, room, vehicleId } = ground;
  const starts = new Map<ThingId, CountedStart[]>();
  for (const [thingId, levels] of began.standing.levels) {
    const own: CountedStart[] = [];
    for (const [placeId, number] of levels) {
      if (number <= 0 || !began.holds(placeId, vehicleId)) continue;
      own.push({ ...aboardSince(placeId, ground), placeId, began: number, stoodAt: [] });
    }
    if (own.length > 0) starts.set(thingId, own);
  }
  for (const pieces of room.pieces) {
    starts.set(pieces.thingId, withPieces(starts.get(pieces.thingId) ?? [], pieces));
  }
  for (const [thingId, arrivals] of brought.numbers) {
    const came = [...arrivals.values()].map((arrival) => ({
      ...arrivedIn(arrival, ground),
      placeId: arrival.placeId,
      began: 0,
      stoodAt: [],
    }));
    starts.set(thingId, [...(starts.get(thingId) ?? []), ...came]);
  }
  return starts;
}

/** With pieces from the hotel: a place aboard that held some asks for these as well. */
function withPieces(starts: readonly CountedStart[], pieces: RoomedPieces): CountedStart[] {
  const { placeId, number, stoodAt, roomId, within, chain } = pieces;
  const known = starts.find((start) => start.placeId === placeId);
  const stood = stoodAt === placeId ? [] : [{ placeId: stoodAt, number }];
  const start = known ?? { placeId, began: 0, stoodAt: [], within, after: null, chain };
  const began = start.began + number;
  const one = { ...start, began, isOut: true, roomId, stoodAt: [...start.stoodAt, ...stood] };
  return [...starts.filter((other) => other !== known), one];
}

function* countedLines(facts: CountFacts, ground: CountGround): Generator<CountedUp> {
  const compartmentOf = compartmentFinder(facts, ground);
  for (const [thingId, starts] of countedStarts(ground)) {
    const known = facts.things.get(thingId);
    if (known?.kind !== 'counted' || !isKept(known)) continue;
    const lines = ground.linesOf(thingId);
    const own = lines.filter((line) => isOf(line, 'quantity', 'hand-count', 'absence'));
    const numbers = ground.now.standing.levels.get(thingId);
    const standing = standingToday(own, new Map(numbers), ground);
    for (const { placeId, began, within, isOut, chain, roomId, stoodAt } of starts) {
      const events: readonly CountedEvent[] = withMovesOf(within, own, ground);
      const evidence = followCounted({ thingId, placeId, began, within, isOut }, events, ground);
      if (evidence === null) continue;
      const compartmentId = compartmentOf(chain);
      const outThere = standing(placeId, stoodAt);
      const place = { placeId, compartmentId, roomId, here: numbers?.get(placeId) ?? 0, outThere };
      const line = { ...head(withMarks(known, lines), facts), ...place };
      const away = evidence.state === 'away' ? 0 : evidence.away;
      yield countedUp({ ...line, ...countedTail(evidence, thingId) }, known.valueRank, away, ground);
    }
  }
}

/** What went out today or stood in a hotel, not away, and still stands there: asked for each place aboard in turn. */
function standingToday(own: readonly Recorded[], left: Map<PlaceId, number>, ground: CountGround) {
  const today = own.filter((line) => line.at >= ground.dayBeganAt);
  const isOut = (line: Handed) =>
    line.toId !== null && !putsAway(line, line.toId, ground) && !ground.isAboard(line.toId, line.at);
  return (placeId: PlaceId, stoodAt: readonly OutThere[]) => {
    const out = outThereOf(placeId, today, isOut, left);
    return [...out, ...stoodAt.flatMap((stood) => stillThere(stood, left))];
  };
}

/** Takes what still stands there from `left`. */
function stillThere({ placeId, number }: OutThere, left: Map<PlaceId, number>): readonly OutThere[] {
  const there = Math.min(number, left.get(placeId) ?? 0);
  if (there <= 0) return [];
  left.set(placeId, (left.get(placeId) ?? 0) - there);
  return [{ placeId, number: there }];
}

function countedTail(evidence: CountedEvidence, thingId: ThingId) {
  const { state, by, expected, found, absent, missingSince, wentOut, out } = evidence;
  return {
    expected,
    found,
    absent,
    state,
    said: saidBy(by, state, thingId),
    last: out === null ? null : putDownBy(out),
    wentOut,
    missingSince,
  };
}

/** Where a number was last taken to, read as a position; null where it left for outside. */
function putDownBy(line: Handed): Position | null {
  if (line.toId === null) return null;
  const { thingId, at, spot, why, personId, stopId } = line;
  return { thingId, placeId: line.toId, at, movementId: line.id, spot, why, personId, stopId };
}

function saidBy(by: CountedEvent | null, state: CountLine['state'], thingId: ThingId): LineSaid | null {
  if (by === null) return null;
  const { id, at, personId, deviceId, note } = by;
  return { said: wordOf(by, state, thingId), lineId: id, at, personId, deviceId, note };
}

function wordOf(by: CountedEvent, state: CountLine['state'], thingId: ThingId): LineSaid['said'] {
  if (by.kind === 'absence') return by.finding;
  if (by.kind === 'hand-count') return vouches(by.check) ? by.check : 'by-number';
  if (state === 'away') return by.why;
  if (by.kind === 'move' && by.thingId !== thingId) return 'with-container';
  return vouches(by.check) ? by.check : 'by-number';
}
