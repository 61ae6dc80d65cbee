// The count: what should be aboard against what was scanned, seen, counted or said (law 9). One pure function for
// phone and service, so that a late line settles what it is about by itself.
import { extrasOf, misplacedOf, refillOf } from './count-beside.ts';
import { answersOf, compartmentsOf, isOpen, withNotOpened } from './count-compartments.ts';
import type { CountFacts, CountGround } from './count-ground.ts';
import { groundInSteps } from './count-ground.ts';
import type { CountedUp } from './count-lines.ts';
import { linesInSteps } from './count-lines.ts';
import type { CompartmentAnswer, Count, CountLine } from './count-shape.ts';
import { countIdOf } from './ids.ts';
import type { ClosedSums } from './movement.ts';
import { allSteps, type Steps } from './steps.ts';

export type { CountFacts } from './count-ground.ts';

/**
 * The count of one stop and round, as all the lines of the book leave it. Null while no living line has opened it.
 *
 * Expected is what was aboard the vehicle by the ledger when the working day of the opening began, in the count of a
 * hotel also what stood there then (hotel-room.ts), and what a line
 * brought aboard from then until the opening, less what a line put away before opening. The law (9) says only "when
 * the working day began"; but a van is mostly packed in the morning, after the day has turned, and what was packed
 * then could be left behind without being named. A load-in and back at an earlier stop changes nothing. The order of the book's lines, and repeats of them, make no difference. A closed count
 * still follows what arrives later, but what was aboard or away at its closing stays so, and its closed text is kept
 * word for word. A zone that this device does not know gives way to the outfit's, then to UTC. Where the book does
 * not reach back to the beginning of that day, its own beginning is taken. Never throws on any set of lines.
 */
export function computeCount(facts: CountFacts): Count | null {
  return allSteps(countInSteps(facts));
}

/** The same count, step by step: a phone answers a scan between two of them. The facts must not change meanwhile. */
export function* countInSteps(facts: CountFacts): Steps<Count | null> {
  const ground = yield* groundInSteps(facts);
  if (ground === null) return null;
  yield;
  const answers = answersOf(facts, ground);
  const ups = withNotOpened(yield* linesInSteps(facts, ground), answers);
  yield;
  const lines = ups.map((up) => up.line);
  const compartments = [...compartmentsOf(facts, ground, lines, answers)];
  const mayClose = !lines.some(isOpen) && compartments.every((compartment) => compartment.answer !== null);
  const allAboard =
    mayClose &&
    lines.every((line) => line.state === 'aboard' || line.state === 'away') &&
    compartments.every((compartment) => compartment.answer !== 'not-opened');
  yield;
  const extras = extrasOf(facts, ground, lines);
  yield;
  const misplaced = misplacedOf(facts, ground, lines);
  yield;
  return {
    ...nameOf(facts, ground),
    lines,
    compartments,
    extras,
    misplaced,
    refill: refillOf(facts, ground),
    sums: sumsOf(ups, compartments),
    mayClose,
    allAboard,
    closed: closedOf(ground),
  };
}

function nameOf(facts: CountFacts, ground: CountGround) {
  const { stop, round, places } = facts;
  return {
    id: countIdOf(stop.id, round),
    stopId: stop.id,
    stopName: stop.name,
    round,
    vehicleId: ground.vehicleId,
    vehicleName: places.get(ground.vehicleId)?.name ?? '',
    openedAt: ground.openedAt,
    dayBeganAt: ground.dayBeganAt,
  };
}

function closedOf({ closing }: CountGround): Count['closed'] {
  if (closing === null) return null;
  const { id, at, personId, lines, sums } = closing;
  return { lineId: id, at, personId, lines, sums };
}

/**
 * The sums, in pieces. "Not found" counts only what was said to be not found; what did not come, is not ours or
 * still waits for an answer is the rest of what was expected.
 */
function sumsOf(ups: readonly CountedUp[], compartments: readonly CompartmentAnswer[]): ClosedSums {
  const sums = { expected: 0, aboard: 0, notFound: 0, away: 0 };
  for (const { line, away } of ups) {
    sums.expected += line.expected + away;
    sums.away += away + (line.state === 'away' ? line.expected : 0);
    if (line.state === 'absent' && line.said?.said === 'not-found') sums.notFound += line.absent;
    sums.aboard += aboardOf(line);
  }
  const notOpened = compartments.filter((compartment) => compartment.answer === 'not-opened').length;
  return { ...sums, compartments: compartments.length, notOpened };
}

function aboardOf(line: CountLine): number {
  if (line.state === 'aboard') return line.expected - line.absent;
  if (line.kind === 'item' || line.state === 'away' || line.state === 'open') return 0;
  return line.state === 'absent'
    ? Math.max(0, line.expected - line.absent)
    : Math.min(line.found ?? 0, line.expected);
}
