// The laws of the ledger that say where each thing is and how many there are (laws 2, 4, 5 and 6). The ledger is a
// set: whatever the order and number of arrivals, the same set gives the same standing.
import type { Book, Position } from './book.ts';
import type { MovementId, PlaceId, ThingId } from './ids.ts';
import type { Recorded } from './movement.ts';

/** What orders the ledger (law 4): whole milliseconds, then the id as bytes. */
export interface Ordered {
  readonly at: number;
  readonly id: string;
}

/** Law 4: earlier `at` first, equal ones by id. Ids are lower-case hex, so comparing text compares bytes. */
export function compareLines(a: Ordered, b: Ordered): number {
  if (a.at !== b.at) return a.at < b.at ? -1 : 1;
  if (a.id === b.id) return 0;
  return a.id < b.id ? -1 : 1;
}

/**
 * Law 2: the lines that count, in order, each once. Voided lines and the voids themselves are left out; a void works
 * wherever it stands, also before its target; a void of a void means nothing.
 */
export function livingLines(lines: readonly Recorded[]): readonly Recorded[] {
  const byId = new Map<MovementId, Recorded>();
  const voided = new Set<MovementId>();
  for (const line of lines) {
    byId.set(line.id, line);
    if (line.kind === 'void') voided.add(line.voids);
  }
  const living = [...byId.values()].filter((line) => line.kind !== 'void' && !voided.has(line.id));
  return living.sort(compareLines);
}

export interface Standing {
  /** Law 5: the destination of each thing's latest living move. */
  readonly positions: ReadonlyMap<ThingId, Position>;
  /** Law 6: how many of a thing are at a place. A place that was never named is absent, and means 0. */
  readonly levels: ReadonlyMap<ThingId, ReadonlyMap<PlaceId, number>>;
  /** Every living position of a thing, newest first, those of the base included: law 7 goes back through them. */
  readonly history: ReadonlyMap<ThingId, readonly Position[]>;
}

function positionOf(line: Extract<Recorded, { kind: 'move' }>, thingId: ThingId): Position {
  return {
    thingId,
    placeId: line.toId,
    at: line.at,
    movementId: line.id,
    spot: line.spot,
    why: line.why,
    personId: line.personId,
    stopId: line.stopId,
  };
}

type Levels = Map<ThingId, Map<PlaceId, number>>;

function placesOf(levels: Levels, thingId: ThingId): Map<PlaceId, number> {
  const known = levels.get(thingId);
  if (known) return known;
  const made = new Map<PlaceId, number>();
  levels.set(thingId, made);
  return made;
}

function addTo(numbers: Map<PlaceId, number>, placeId: PlaceId | null, number: number): void {
  if (placeId !== null) numbers.set(placeId, (numbers.get(placeId) ?? 0) + number);
}

function applyQuantities(levels: Levels, line: Recorded): void {
  if (line.kind === 'hand-count') placesOf(levels, line.thingId).set(line.toId, line.number);
  if (line.kind !== 'quantity') return;
  const numbers = placesOf(levels, line.thingId);
  addTo(numbers, line.fromId, -line.number);
  addTo(numbers, line.toId, line.number);
}

const orderOf = (position: Position): Ordered => ({ at: position.at, id: position.movementId });

/**
 * Laws 5 and 6 over a book: where each thing is and how many there are, from the lines with `at < before` (UTC ms,
 * exclusive), or from all of them. A void counts even when it was said after `before`: it says that a line never was.
 * Numbers are in the unit's smallest step and may be negative until a missing line arrives.
 */
export function standingOf(book: Book, before = Number.POSITIVE_INFINITY): Standing {
  const history = new Map<ThingId, Position[]>();
  const levels: Levels = new Map();
  for (const level of book.levels) placesOf(levels, level.thingId).set(level.placeId, level.number);
  for (const position of [...book.base].sort((a, b) => compareLines(orderOf(a), orderOf(b)))) {
    if (position.at < before) pushTo(history, position);
  }
  for (const line of livingLines(book.lines)) {
    if (line.at >= before) break;
    applyQuantities(levels, line);
    if (line.kind === 'move' && line.thingId !== null) pushTo(history, positionOf(line, line.thingId));
  }
  const positions = new Map<ThingId, Position>();
  for (const [thingId, list] of history) {
    list.reverse();
    const [latest] = list;
    if (latest) positions.set(thingId, latest);
  }
  return { positions, levels, history };
}

function pushTo(history: Map<ThingId, Position[]>, position: Position): void {
  const list = history.get(position.thingId);
  if (list) list.push(position);
  else history.set(position.thingId, [position]);
}

/** The part of a book that one thing's standing follows from. A void belongs to the thing of the line it cancels. */
export function bookOfThing(book: Book, thingId: ThingId): Book {
  return {
    since: book.since,
    base: book.base.filter((position) => position.thingId === thingId),
    levels: book.levels.filter((level) => level.thingId === thingId),
    lines: book.lines.filter((line) => 'thingId' in line && line.thingId === thingId),
  };
}

/**
 * The standing after one thing's lines changed: the same as `standingOf` over the whole book, at the cost of that
 * thing's lines alone. `ofThing` is the thing's part of the new book.
 */
export function withThing(standing: Standing, thingId: ThingId, ofThing: Book): Standing {
  const fresh = standingOf(ofThing);
  const positions = new Map(standing.positions);
  const levels = new Map(standing.levels);
  const history = new Map(standing.history);
  replace(positions, thingId, fresh.positions.get(thingId));
  replace(levels, thingId, fresh.levels.get(thingId));
  replace(history, thingId, fresh.history.get(thingId));
  return { positions, levels, history };
}

function replace<V>(map: Map<ThingId, V>, thingId: ThingId, value: V | undefined): void {
  if (value === undefined) map.delete(thingId);
  else map.set(thingId, value);
}

export interface Marks {
  /** The words that a standing "faulty" was said with (empty when none); null when the latest says it is cleared. */
  readonly faulty: string | null;
  readonly holdsRushes: boolean;
}

/** The latest living mark of each kind for each thing that has any. A thing without an entry was never marked here. */
export function marksOf(lines: readonly Recorded[]): ReadonlyMap<ThingId, Partial<Marks>> {
  const marks = new Map<ThingId, Partial<Marks>>();
  for (const line of livingLines(lines)) {
    if (line.kind !== 'mark') continue;
    const said =
      line.mark === 'faulty' ? { faulty: line.on ? (line.note ?? '') : null } : { holdsRushes: line.on };
    marks.set(line.thingId, { ...marks.get(line.thingId), ...said });
  }
  return marks;
}
