// The ledger is a set of lines; where things are and how many of them is a function of that set (laws 2, 5, 6).
// Whatever the order, the repeats or the batches in which lines arrive, the same set gives the same standing.
import type { Book, Level, Position } from './book.ts';
import type { MovementId, PlaceId, ThingId } from './ids.ts';
import { assert } from './invariant.ts';
import { withEntry } from './layered-map.ts';
import type { MovementOf, Recorded } from './movement.ts';

/** The kinds of line that say where something is, or how many. */
type StandingLine = Recorded<MovementOf<'move' | 'quantity' | 'hand-count'>>;

interface ThingSource {
  readonly base: readonly Position[];
  readonly levels: readonly Level[];
  /** In any order, each once, the voided ones too: a void may come before its target. */
  readonly lines: readonly StandingLine[];
}

/** What a standing was made from, sorted by thing, so that one more line touches one thing only. */
interface StandingSource {
  readonly before: number;
  readonly voided: ReadonlySet<MovementId>;
  readonly things: ReadonlyMap<ThingId, ThingSource>;
}

export interface Standing {
  /** Where each item, container and vehicle is (law 5). */
  readonly positions: ReadonlyMap<ThingId, Position>;
  /** How many are at each place (law 6); may be negative. Places that come to 0 are left out. */
  readonly levels: ReadonlyMap<ThingId, ReadonlyMap<PlaceId, number>>;
  /** Every living position of a thing, newest first, those of the book's base included (law 7). */
  readonly history: ReadonlyMap<ThingId, readonly Position[]>;
  /** For `withLine` only. */
  readonly source: StandingSource;
}

/**
 * The one order of the ledger: effective time in UTC ms, then the id compared as bytes (law 4). Ids are UUIDs in
 * lower case, so their text sorts as their bytes do. Negative when `a` is the earlier one.
 */
export function compareLines(
  a: { readonly at: number; readonly id: string },
  b: { readonly at: number; readonly id: string },
): number {
  if (a.at !== b.at) return a.at - b.at;
  if (a.id === b.id) return 0;
  return a.id < b.id ? -1 : 1;
}

/**
 * The lines that count, in the order of the ledger: each id once, without the voids and what they cancel (law 2).
 * A void cancels by id, wherever it stands in time; a void of a void means nothing.
 */
export function livingLines(lines: readonly Recorded[]): readonly Recorded[] {
  const voided = voidedIds(lines);
  const seen = new Set<MovementId>();
  const living: Recorded[] = [];
  for (const line of lines) {
    if (line.kind === 'void' || voided.has(line.id) || seen.has(line.id)) continue;
    seen.add(line.id);
    living.push(line);
  }
  return living.sort(compareLines);
}

/**
 * Where everything is and how many, from a book. With `before` (UTC ms) only lines with `at < before` count; a
 * void counts wherever it stands, because what it cancels never happened.
 * Throws when `before` lies before the book begins: the book can't know. Such a question needs an older book.
 */
export function standingOf(book: Book, before?: number): Standing {
  assert(before === undefined || before >= book.since, 'a book is asked for no time before it begins');
  const source: StandingSource = {
    before: before ?? Number.POSITIVE_INFINITY,
    voided: voidedIds(book.lines),
    things: sourcesOf(book),
  };
  return drawStanding(source, (thing, thingId) => drawThing(thing, thingId, source));
}

/**
 * What the standing was before an earlier instant (UTC ms, not before its book begins): equal to computing it afresh,
 * at the cost of the things that a line has moved since.
 */
export function standingBefore(standing: Standing, before: number): Standing {
  const source = { ...standing.source, before: Math.min(before, standing.source.before) };
  return drawStanding(source, (thing, thingId) => {
    if (thing.lines.some((line) => line.at >= before) || thing.base.some(({ at }) => at >= before))
      return drawThing(thing, thingId, source);
    const history = standing.history.get(thingId) ?? NOTHING.history;
    return { history, numbers: standing.levels.get(thingId) ?? NOTHING.numbers };
  });
}

function drawStanding(
  source: StandingSource,
  draw: (thing: ThingSource, thingId: ThingId) => Drawn,
): Standing {
  const positions = new Map<ThingId, Position>();
  const levels = new Map<ThingId, ReadonlyMap<PlaceId, number>>();
  const history = new Map<ThingId, readonly Position[]>();
  for (const [thingId, thing] of source.things) {
    const drawn = draw(thing, thingId);
    const [latest] = drawn.history;
    if (latest !== undefined) {
      positions.set(thingId, latest);
      history.set(thingId, drawn.history);
    }
    if (drawn.numbers.size > 0) levels.set(thingId, drawn.numbers);
  }
  return { positions, levels, history, source };
}

/**
 * The standing with one more line, equal to computing it afresh from the book with that line, at the cost of one
 * thing: a phone with 10,000 things answers a scan with it. A repeat and a line that moves nothing change nothing.
 */
export function withLine(standing: Standing, line: Recorded): Standing {
  if (line.kind === 'void') return withVoid(standing, line.voids, line.thingId);
  if (!movesSomething(line) || line.thingId === null) return standing;
  const { source } = standing;
  const known = source.things.get(line.thingId) ?? { base: [], levels: [], lines: [] };
  if (known.lines.some(({ id }) => id === line.id)) return standing;
  const thing = { ...known, lines: [...known.lines, line] };
  const things = withEntry(source.things, line.thingId, thing);
  return withThing(standing, line.thingId, { ...source, things });
}

/**
 * The standing with a line that it has already, as that line is known now: the service may have given it another time,
 * or found the thing that its code means. Equal to computing it afresh, at the cost of one thing, or of two.
 */
export function withLineAgain(standing: Standing, before: Recorded, line: Recorded): Standing {
  if (!movesSomething(before) || before.thingId === null) return withLine(standing, line);
  const { source } = standing;
  const known = source.things.get(before.thingId);
  if (known === undefined) return withLine(standing, line);
  const thing = { ...known, lines: known.lines.filter(({ id }) => id !== before.id) };
  const things = withEntry(source.things, before.thingId, thing);
  return withLine(withThing(standing, before.thingId, { ...source, things }), line);
}

/** What was last said of a thing by a mark: faulty with a few words, or a medium that holds rushes. */
export interface Marks {
  readonly faulty: { readonly on: boolean; readonly note: string | null; readonly at: number } | undefined;
  readonly holdsRushes: boolean | undefined;
}

/** The latest living mark of each kind by (at, id), for things that have one; undefined where nobody said. */
export function marksOf(lines: readonly Recorded[]): ReadonlyMap<ThingId, Marks> {
  const marks = new Map<ThingId, Marks>();
  for (const line of livingLines(lines)) {
    if (line.kind !== 'mark') continue;
    const said = marks.get(line.thingId) ?? { faulty: undefined, holdsRushes: undefined };
    const now: Marks =
      line.mark === 'faulty'
        ? { ...said, faulty: { on: line.on, note: line.note, at: line.at } }
        : { ...said, holdsRushes: line.on };
    marks.set(line.thingId, now);
  }
  return marks;
}

function voidedIds(lines: readonly Recorded[]): ReadonlySet<MovementId> {
  const voided = new Set<MovementId>();
  for (const line of lines) if (line.kind === 'void') voided.add(line.voids);
  return voided;
}

function movesSomething(line: Recorded): line is StandingLine {
  return line.kind === 'move' || line.kind === 'quantity' || line.kind === 'hand-count';
}

function sourcesOf(book: Book): ReadonlyMap<ThingId, ThingSource> {
  const things = new Map<ThingId, { base: Position[]; levels: Level[]; lines: StandingLine[] }>();
  const of = (thingId: ThingId) => {
    const known = things.get(thingId);
    if (known !== undefined) return known;
    const made = { base: NONE, levels: NONE, lines: NONE };
    things.set(thingId, made);
    return made;
  };
  for (const position of book.base) {
    const thing = of(position.thingId);
    thing.base = joined(thing.base, position);
  }
  for (const level of book.levels) {
    const thing = of(level.thingId);
    thing.levels = joined(thing.levels, level);
  }
  const seen = new Set<MovementId>();
  for (const line of book.lines) {
    if (!movesSomething(line) || line.thingId === null || seen.has(line.id)) continue;
    seen.add(line.id);
    const thing = of(line.thingId);
    thing.lines = joined(thing.lines, line);
  }
  return things;
}

// Most things of a large outfit have one position and nothing else: an empty list of each kind would be most of the
// memory of a standing.
const NONE: never[] = [];
function joined<T>(list: T[], entry: T): T[] {
  if (list.length === 0) return [entry];
  list.push(entry);
  return list;
}

/** A void may name another thing than its target's, so the target is looked for by its id, that thing first. */
function withVoid(standing: Standing, voids: MovementId, thingId: ThingId | null): Standing {
  const { source } = standing;
  if (source.voided.has(voids)) return standing;
  const next = { ...source, voided: new Set(source.voided).add(voids) };
  const holds = (thing: ThingSource | undefined) =>
    thing?.lines.some(({ id }) => id === voids) || thing?.base.some(({ movementId }) => movementId === voids);
  if (thingId !== null && holds(source.things.get(thingId))) return withThing(standing, thingId, next);
  for (const [id, thing] of source.things) if (holds(thing)) return withThing(standing, id, next);
  return { ...standing, source: next };
}

function withThing(standing: Standing, thingId: ThingId, source: StandingSource): Standing {
  const thing = source.things.get(thingId);
  const { history, numbers } = thing === undefined ? NOTHING : drawThing(thing, thingId, source);
  return {
    positions: withEntry(standing.positions, thingId, history[0]),
    levels: withEntry(standing.levels, thingId, numbers.size > 0 ? numbers : undefined),
    history: withEntry(standing.history, thingId, history.length > 0 ? history : undefined),
    source,
  };
}

interface Drawn {
  readonly history: readonly Position[];
  readonly numbers: ReadonlyMap<PlaceId, number>;
}
const NOTHING: Drawn = { history: [], numbers: new Map() };

function drawThing(thing: ThingSource, thingId: ThingId, source: StandingSource): Drawn {
  const living = thing.lines
    .filter((line) => line.at < source.before && !source.voided.has(line.id))
    .sort(compareLines);
  return {
    history: historyOf(thing.base, living, thingId, source),
    numbers: numbersOf(thing.levels, living),
  };
}

function historyOf(
  base: readonly Position[],
  living: readonly StandingLine[],
  thingId: ThingId,
  source: StandingSource,
): readonly Position[] {
  const known = base.filter(
    (position) => position.at < source.before && !source.voided.has(position.movementId),
  );
  // Most things of a large outfit have lain where they are for long.
  if (living.length === 0 && known.length < 2) return known;
  const byId = new Map(known.map((position) => [position.movementId, position]));
  for (const line of living) if (line.kind === 'move') byId.set(line.id, positionFrom(line, thingId));
  return [...byId.values()].sort((a, b) => compareLines(lineOf(b), lineOf(a)));
}

const lineOf = (position: Position) => ({ at: position.at, id: position.movementId });

function positionFrom(line: Recorded<MovementOf<'move'>>, thingId: ThingId): Position {
  const { toId: placeId, at, id: movementId, spot, why, personId, stopId } = line;
  return { thingId, placeId, at, movementId, spot, why, personId, stopId };
}

/** Law 6: a hand count says the number at its place anew; what came and went is summed from there. */
function numbersOf(levels: readonly Level[], living: readonly StandingLine[]): ReadonlyMap<PlaceId, number> {
  if (levels.length === 0 && living.every((line) => line.kind === 'move')) return NOTHING.numbers;
  const numbers = new Map<PlaceId, number>();
  const add = (placeId: PlaceId | null, number: number) => {
    if (placeId !== null) numbers.set(placeId, (numbers.get(placeId) ?? 0) + number);
  };
  for (const level of levels) add(level.placeId, level.number);
  for (const line of living) {
    if (line.kind === 'hand-count') numbers.set(line.toId, line.number);
    if (line.kind !== 'quantity') continue;
    add(line.fromId, -line.number);
    add(line.toId, line.number);
  }
  for (const [placeId, number] of numbers) if (number === 0) numbers.delete(placeId);
  return numbers;
}
