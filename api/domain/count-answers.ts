// What a tap in a count writes down: the facts of the lines of the ledger, to which the device adds its stamp (id,
// clock, person). Nothing here decides anything; the count is computed again from the ledger with these lines in it.
import { drivingHomesOf } from './count-beside.ts';
import type { Chains } from './count-ground.ts';
import type { Count, CountLine } from './count-shape.ts';
import type { PlaceId, StopId } from './ids.ts';
import type { Absence, Check, ClosedLine, ClosedSums, Movement, Reason } from './movement.ts';
import { NAMED_THINGS_MAX } from './movement.ts';
import { type OutThere, takeOut } from './out-there.ts';
import type { Thing } from './thing.ts';

type Stamp = 'id' | 'deviceId' | 'deviceNo' | 'deviceAt' | 'clockRun' | 'personId';
type Unstamped<M> = M extends Movement ? Omit<M, Stamp> : never;
/** A line of the ledger before the device has stamped it. */
export type Fact = Unstamped<Movement>;
export type FactOf<K extends Movement['kind']> = Extract<Fact, { kind: K }>;

type CountRef = Pick<Count, 'stopId' | 'round'>;
const contextOf = (count: CountRef) => ({ stopId: count.stopId, round: count.round, note: null });

/** Opens the count of a stop and round for a vehicle. */
export function openOf(stopId: StopId, round: number, vehicleId: PlaceId): FactOf<'open'> {
  return { kind: 'open', ...contextOf({ stopId, round }), stopId, round, vehicleId };
}

/**
 * The place a thing goes to when it is answered for without naming one. What has not left the vehicle stays where
 * the ledger has it, and what only went along with its container stays in it; what went out by a line of its own
 * comes back to the compartment it was in when the day began, and what stood in a hotel to the one where it belongs.
 */
export function placeOfAnswer(count: Count, line: CountLine): PlaceId {
  if (line.last === null) return line.placeId ?? line.compartmentId;
  if (line.last.placeId === line.roomId) return line.compartmentId;
  const isUnmoved = !line.wentOut || line.last.at < count.dayBeganAt;
  return isUnmoved ? line.last.placeId : line.compartmentId;
}

/**
 * Where "back aboard" puts a thing that was scanned: its driving home when that is in this vehicle, else the vehicle
 * itself. `chains`: over the ledger as it stands now.
 */
export function homeAboard(thing: Pick<Thing, 'homes'>, vehicleId: PlaceId, chains: Chains): PlaceId {
  return drivingHomesOf(thing).find((homeId) => chains.holds(homeId, vehicleId)) ?? vehicleId;
}

/** One line answered for by a check: an item by a move, counted gear by "all are here" but those said to be absent. */
export function checkLine(
  count: Count,
  line: CountLine,
  check: Check,
): FactOf<'move'> | FactOf<'hand-count'> {
  const { thingId } = line;
  if (line.placeId !== null) {
    return countByNumber(count, line, Math.max(0, line.expected - line.absent), check);
  }
  return {
    kind: 'move',
    ...contextOf(count),
    check,
    why: 'wrap',
    spot: null,
    thingId,
    code: null,
    toId: placeOfAnswer(count, line),
    sealUnbroken: false,
  };
}

/** "So many are here" for a line of counted gear. `number`: 0 or more. */
export function countByNumber(
  count: Count,
  line: CountLine,
  number: number,
  check: Check = 'by-number',
): FactOf<'hand-count'> {
  const toId = line.placeId ?? line.compartmentId;
  return { kind: 'hand-count', ...contextOf(count), thingId: line.thingId, toId, number, check };
}

/** Lines that bring pieces back from where they stand to the place of a line of counted gear. */
function backFrom(
  count: CountRef,
  line: CountLine,
  pieces: readonly OutThere[],
): readonly FactOf<'quantity'>[] {
  return pieces.map(({ placeId, number }) => ({
    kind: 'quantity',
    ...contextOf(count),
    check: 'by-number',
    why: 'wrap',
    spot: null,
    thingId: line.thingId,
    number,
    fromId: placeId,
    toId: line.placeId ?? line.compartmentId,
  }));
}

/**
 * What a hand count of `number` here has to say first: where those that are back have come from. All that is out there
 * when as many are here as are asked for; else as many as are more than the ledger has here. The hand count itself has
 * to follow these lines.
 */
export function bringBack(count: Count, line: CountLine, number: number): readonly FactOf<'quantity'>[] {
  const { outThere, expected, here } = line;
  const back = number >= expected ? outThere : takeOut(outThere, number - (here ?? 0));
  return backFrom(count, line, back);
}

/** One line answered for by a check: all of it is here, but what was said to be absent. To be written in this order. */
export function answerHere(count: Count, line: CountLine, check: Check): readonly Fact[] {
  const answer = checkLine(count, line, check);
  return answer.kind === 'move' ? [answer] : [...bringBack(count, line, answer.number), answer];
}

/** "So many are here" for a line of counted gear, with what that brings back. To be written in this order. */
export function answerNumber(
  count: Count,
  line: CountLine,
  number: number,
  check: Check = 'by-number',
): readonly Fact[] {
  return [...bringBack(count, line, number), countByNumber(count, line, number, check)];
}

/**
 * A finding of absence. It names the latest line of an item since the count was opened, because that is what the
 * finder was shown: so it stands against that line, and not against a scan of somebody else that arrives later. For
 * counted gear it says how many are absent: what is not counted yet, unless `number` says otherwise.
 */
export function findAbsent(
  count: Count,
  line: CountLine,
  finding: Absence,
  more: { readonly number?: number; readonly note?: string } = {},
): FactOf<'absence'> {
  const isCounted = line.placeId !== null;
  const gap = Math.max(1, line.expected - (line.found ?? 0));
  const shown =
    !isCounted && line.last !== null && line.last.at >= count.openedAt ? line.last.movementId : null;
  return {
    kind: 'absence',
    ...contextOf(count),
    note: more.note ?? null,
    thingId: line.thingId,
    toId: line.placeId,
    finding,
    number: isCounted ? (more.number ?? gap) : null,
    shownId: shown,
  };
}

/** Where a finding says that a thing is, why, and for counted gear how many of it. */
export interface Placing {
  readonly why: Reason;
  readonly toId: PlaceId;
  readonly spot: string | null;
  readonly note: string | null;
  readonly number?: number;
}

/**
 * A finding that places a thing (left on purpose, with somebody, handed over): a movement. Counted gear that was
 * counted before is said to be here once more, so that what was not here is not taken from the number that is. What went
 * to that very place before comes back first, and else as many as are placed, so that no piece stands at two places.
 */
export function findPlaced(count: Count, line: CountLine, placing: Placing): readonly Fact[] {
  const { why, toId, spot, note } = placing;
  const { thingId, placeId, found } = line;
  const evidence = { ...contextOf(count), note, check: null, why, spot, thingId, toId };
  if (placeId === null) return [{ kind: 'move', ...evidence, code: null, sealUnbroken: false }];
  const number = placing.number ?? Math.max(1, line.expected - (found ?? 0));
  const there = line.outThere.filter((out) => out.placeId === toId);
  const others = line.outThere.filter((out) => out.placeId !== toId);
  const thereNumber = there.reduce((sum, out) => sum + out.number, 0);
  const back = backFrom(count, line, [...there, ...takeOut(others, number - thereNumber)]);
  const away: Fact = { kind: 'quantity', ...evidence, number, fromId: placeId };
  return found === null ? [...back, away] : [...back, away, countByNumber(count, line, found)];
}

/** A compartment that nobody opened. */
export function answerNotOpened(count: Count, placeId: PlaceId): FactOf<'answer'> {
  return answerOf(count, placeId, 'not-opened');
}

/** How a compartment as a whole was answered for. */
export function answerOf(count: Count, placeId: PlaceId, check: Check): FactOf<'answer'> {
  return {
    kind: 'answer',
    ...contextOf(count),
    stopId: count.stopId,
    round: count.round,
    toId: placeId,
    check,
  };
}

/**
 * The lines and sums of a close line, as the person sees them (law 10). Whether it may close says `count.mayClose`.
 * A line of the ledger names at most 5,000 things; a count of more keeps those that are not aboard first, and its
 * sums are of all.
 */
export function closeOf(count: Count): { readonly lines: ClosedLine[]; readonly sums: ClosedSums } {
  return { lines: count.lines.slice(0, NAMED_THINGS_MAX).map(closedLineOf), sums: count.sums };
}

/** The close line of a count, before its stamp. */
export function closingOf(count: Count): FactOf<'close'> {
  const { stopId, round } = count;
  return { kind: 'close', ...contextOf(count), stopId, round, ...closeOf(count) };
}

function closedLineOf(line: CountLine): ClosedLine {
  const { thingId, placeId, name, expected, state, said, last } = line;
  return {
    thingId,
    placeId,
    name,
    expected,
    found: line.found ?? (state === 'aboard' ? expected : 0),
    said: state === 'open' || state === 'short' ? 'open' : (said?.said ?? 'open'),
    lineId: said?.lineId ?? null,
    lastPlaceId: last?.placeId ?? null,
    spot: last?.spot ?? null,
  };
}
