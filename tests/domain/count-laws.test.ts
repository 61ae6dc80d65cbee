// The laws of the count as properties over random ledgers, and a second count written another way: it asks the set of
// lines questions ("is there a later one that …") where the product follows them one by one.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { closeOf, closingOf, openOf } from '#domain/count-answers.ts';
import type { MovementId, PlaceId, ThingId } from '#domain/ids.ts';
import type { Absence, Check, MovementOf, Reason, Recorded } from '#domain/movement.ts';
import { stillOut } from '#domain/still-out.ts';
import {
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  countOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  numberOf,
  say,
  takeBack,
  utc,
} from './count-making.ts';

const DAY_BEGAN = utc('2026-06-12T04:00:00Z');
const OPENED = utc('2026-06-12T17:00:00Z');
const AWAY: readonly Reason[] = [
  'left-on-purpose',
  'with-somebody',
  'lend',
  'hand-over',
  'rent-out',
  'consumed',
];

/** What a random line is made from: indexes into the world, so that shrinking keeps it readable. */
interface Draft {
  readonly kind:
    | 'move'
    | 'absence'
    | 'hand-count'
    | 'quantity'
    | 'answer'
    | 'seal'
    | 'close'
    | 'void'
    | 'mark';
  readonly thing: number;
  readonly place: number;
  readonly why: Reason;
  readonly check: Check | null;
  readonly finding: Absence;
  /** Quarters of an hour after five in the morning, some before. */
  readonly quarter: number;
  readonly number: number;
  readonly other: number;
  readonly flag: boolean;
}

const draft = (kinds: readonly Draft['kind'][]): fc.Arbitrary<Draft> =>
  fc.record({
    kind: fc.constantFrom(...kinds),
    thing: fc.nat(7),
    place: fc.nat(7),
    why: fc.constantFrom('load-in' as const, 'wrap' as const, 'tidy' as const, 'lend' as const),
    check: fc.constantFrom('scanned' as const, 'seen' as const, 'by-sight' as const, null),
    finding: fc.constantFrom('not-found' as const, 'did-not-come' as const, 'not-ours' as const),
    quarter: fc.integer({ min: -8, max: 90 }),
    number: fc.integer({ min: 1, max: 5 }),
    other: fc.nat(30),
    flag: fc.boolean(),
  });

const pick = <T>(list: readonly T[], index: number): T => {
  const found = list[index % list.length];
  if (found === undefined) throw new Error('a list to pick from holds something');
  return found;
};

function makeWorld() {
  const outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Heron 4×4');
  const shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  const hide = addPlace(outfit, 'location', 'Reedbed hide');
  const friend = addPlace(outfit, 'party', 'Ines, boat crew');
  const stop = makeStop(hide, 'Reedbed hide');
  const box = addContainer(outfit, 'Case', shelf);
  const pouch = addContainer(outfit, 'Pouch', box.insideId);
  const items = [
    addItem(outfit, 'Lens', shelf),
    addItem(outfit, 'Boom', hide),
    addItem(outfit, 'Card', pouch.insideId),
    box.thingId,
    pouch.thingId,
  ];
  const clamps = addNumbers(outfit, 'counted', 'Clamps', [
    [shelf, 3],
    [box.insideId, 2],
  ]);
  const places = [truck, shelf, hide, friend, box.insideId, pouch.insideId];
  return { outfit, truck, shelf, hide, friend, stop, items, clamps, places };
}
type World = ReturnType<typeof makeWorld>;

/** Writes one random line into the ledger of a world. */
function write(world: World, line: Draft): void {
  const { outfit, stop, items, clamps, places } = world;
  const at = DAY_BEGAN + line.quarter * 15 * MINUTE;
  const context = { stopId: stop.id, round: 1, note: null };
  const thingId = pick(items, line.thing);
  const toId = pick(places, line.place);
  const { number, check, why } = line;
  // The opening stays: without it there is no count to compare (an example of its own).
  const others = outfit.lines.filter((written) => written.kind !== 'open');
  const known = others.length > 0 ? pick(others, line.other) : undefined;
  if (line.kind === 'move') {
    say(outfit, at, moveOf(thingId, toId, { why, check, sealUnbroken: line.flag }));
  } else if (line.kind === 'absence') {
    const ofCounted = line.flag && line.thing === 0;
    const shownId = line.flag && known?.kind === 'move' ? known.id : null;
    const target = ofCounted ? { thingId: clamps, toId, number } : { thingId, toId: null, number: null };
    say(outfit, at, { kind: 'absence', ...context, ...target, finding: line.finding, shownId });
  } else if (line.kind === 'hand-count') {
    say(outfit, at, { kind: 'hand-count', ...context, thingId: clamps, toId, number: number - 1, check });
  } else if (line.kind === 'quantity') {
    say(outfit, at, numberOf(clamps, number, toId, pick(places, line.other), { why, check }));
  } else if (line.kind === 'answer') {
    say(outfit, at, {
      kind: 'answer',
      ...context,
      stopId: stop.id,
      round: 1,
      toId,
      check: line.flag ? 'not-opened' : 'by-sight',
    });
  } else if (line.kind === 'seal') {
    say(outfit, at, {
      kind: 'seal',
      ...context,
      thingId: pick(items.slice(3), line.thing),
      contents: [...items],
      tie: null,
    });
  } else if (line.kind === 'mark') {
    say(outfit, at, { kind: 'mark', ...context, thingId, mark: 'holds-rushes', on: line.flag });
  } else if (line.kind === 'close') {
    say(outfit, at, closingOf({ ...emptyCount(world), lines: [] }));
  } else if (known !== undefined) takeBack(outfit, at, known);
}

function emptyCount(world: World) {
  const outfit = { ...world.outfit, lines: [] };
  say(outfit, OPENED, openOf(world.stop.id, 1, world.truck));
  return countOf(outfit, world.stop);
}

const EVERY_KIND: readonly Draft['kind'][] = [
  'move',
  'move',
  'move',
  'absence',
  'hand-count',
  'quantity',
  'answer',
  'seal',
  'close',
  'void',
  'mark',
];

describe('a count is a function of the set of lines', () => {
  test('any order and any repeats of the same lines give the same count and the same list of what is out', () => {
    fc.assert(
      fc.property(
        fc.array(draft(EVERY_KIND), { maxLength: 40 }),
        fc.infiniteStream(fc.nat(1_000_000)),
        (drafts, dice) => {
          const world = makeWorld();
          say(world.outfit, OPENED, openOf(world.stop.id, 1, world.truck));
          for (const line of drafts) write(world, line);
          const count = countOf(world.outfit, world.stop);
          const out = stillOut({ book: bookOf(world.outfit), ...world.outfit, now: OPENED });
          const twice = [...world.outfit.lines, ...world.outfit.lines.filter((_, index) => index % 3 === 0)];
          const shuffled = twice
            .map((line) => ({ line, key: dice.next().value ?? 0 }))
            .sort((a, b) => a.key - b.key)
            .map(({ line }) => line);
          const other = { ...world.outfit, lines: shuffled };
          expect(countOf(other, world.stop)).toEqual(count);
          expect(stillOut({ book: bookOf(other), ...other, now: OPENED })).toEqual(out);
        },
      ),
      { numRuns: 200 },
    );
  });

  test('two phones that bring their lines together have the count of all lines', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(draft(EVERY_KIND), fc.nat(2)), { maxLength: 40 }), (drafts) => {
        const world = makeWorld();
        say(world.outfit, OPENED, openOf(world.stop.id, 1, world.truck));
        const phones: [Recorded[], Recorded[]] = [[...world.outfit.lines], []];
        for (const [line, whose] of drafts) {
          write(world, line);
          const last = world.outfit.lines.at(-1);
          // 2 stands for both: the line was synced before.
          if (last !== undefined && whose !== 1) phones[0].push(last);
          if (last !== undefined && whose !== 0) phones[1].push(last);
        }
        const merged = { ...world.outfit, lines: [...phones[1], ...phones[0]] };
        expect(countOf(merged, world.stop)).toEqual(countOf(world.outfit, world.stop));
      }),
      { numRuns: 100 },
    );
  });

  test('what always holds: sums are of the lines, nothing closes with an open line, all aboard means aboard', () => {
    fc.assert(
      fc.property(fc.array(draft(EVERY_KIND), { maxLength: 40 }), (drafts) => {
        const world = makeWorld();
        say(world.outfit, OPENED, openOf(world.stop.id, 1, world.truck));
        for (const line of drafts) write(world, line);
        const count = countOf(world.outfit, world.stop);
        const { lines, compartments, sums } = count;
        const isAnswered = lines.every((line) => line.state !== 'open' && line.state !== 'short');
        expect(count.mayClose).toBe(isAnswered && compartments.every((known) => known.answer !== null));
        if (count.allAboard)
          expect(lines.every((line) => ['aboard', 'away'].includes(line.state))).toBe(true);
        expect(sums.aboard + sums.notFound + sums.away).toBeLessThanOrEqual(sums.expected);
        expect(new Set(lines.map((line) => `${line.thingId} ${line.placeId}`)).size).toBe(lines.length);
        for (const line of lines) expect(line.said === null).toBe(line.state === 'open');
        expect(closeOf(count).lines).toHaveLength(lines.length);
        expect(compartments.reduce((sum, known) => sum + known.lines, 0)).toBe(lines.length);
      }),
      { numRuns: 200 },
    );
  });
});

type Moved = Recorded<MovementOf<'move'>>;
type Finding = Recorded<MovementOf<'absence'>>;

const isBefore = (a: Recorded, b: Recorded) => a.at < b.at || (a.at === b.at && a.id < b.id);

/** The second count, of loose items: for each expected thing its state and the line that says so. */
function countAgain(world: World, aboard: ReadonlySet<PlaceId>): Map<ThingId, [string, MovementId | null]> {
  const voided = new Set(world.outfit.lines.flatMap((line) => (line.kind === 'void' ? [line.voids] : [])));
  const living = world.outfit.lines.filter((line) => line.kind !== 'void' && !voided.has(line.id));
  const verdicts = new Map<ThingId, [string, MovementId | null]>();
  for (const thingId of world.items) {
    const own = living.flatMap((line): (Moved | Finding)[] =>
      (line.kind === 'move' || line.kind === 'absence') && line.thingId === thingId ? [line] : [],
    );
    const moves = own.flatMap((line): Moved[] => (line.kind === 'move' ? [line] : []));
    const placeAt = moves
      .filter((line) => line.at < DAY_BEGAN)
      .sort((a, b) => (isBefore(a, b) ? 1 : -1))[0]?.toId;
    const began = placeAt ?? world.outfit.base.find((position) => position.thingId === thingId)?.placeId;
    const today = own.filter((line) => line.at >= DAY_BEGAN && line.at < OPENED);
    const wasAboard = began !== undefined && aboard.has(began);
    // Whatever else came aboard today is asked for from the line on that has no earlier one like it.
    const boarding = moves.filter((line) => today.includes(line) && aboard.has(line.toId));
    const first = boarding.find((line) => boarding.every((other) => !isBefore(other, line)));
    if (!wasAboard && first === undefined) continue;
    const before = verdict(
      today.filter((line) => wasAboard || first === undefined || isBefore(first, line)),
      own,
      world,
      aboard,
    );
    if (before.state === 'away') continue;
    const carried =
      before.state === 'absent' && before.by?.kind === 'absence' && before.by.finding !== 'not-ours';
    const since = own.filter((line) => line.at >= OPENED || (carried && line.id === before.by?.id));
    const { state, by } = verdict(since, own, world, aboard);
    verdicts.set(thingId, [state, by?.id ?? null]);
  }
  return verdicts;
}

interface Verdict {
  readonly state: 'open' | 'aboard' | 'absent' | 'away';
  readonly by: Moved | Finding | null;
}

/** Takes away the latest line, asks what held before it, and lets it decide. */
function verdict(
  lines: readonly (Moved | Finding)[],
  own: readonly (Moved | Finding)[],
  world: World,
  aboard: ReadonlySet<PlaceId>,
): Verdict {
  const latest = lines.find((line) => lines.every((other) => other === line || isBefore(other, line)));
  if (latest === undefined) return { state: 'open', by: null };
  const rest = lines.filter((line) => line !== latest);
  const before = () => verdict(rest, own, world, aboard);
  const covers = (finding: Finding, line: Moved) => {
    const shown = world.outfit.lines.find((known) => known.id === finding.shownId);
    return shown !== undefined && (shown.id === line.id || isBefore(line, shown));
  };
  if (latest.kind === 'absence') {
    const unshown = own.some(
      (line) =>
        line.kind === 'move' &&
        line.check === 'scanned' &&
        line.at >= OPENED &&
        isBefore(line, latest) &&
        !covers(latest, line),
    );
    return unshown ? before() : { state: 'absent', by: latest };
  }
  const held = before();
  if (held.by?.kind === 'absence' && covers(held.by, latest)) return held;
  const isAway = AWAY.includes(latest.why) || (latest.at < OPENED && latest.toId === world.friend);
  if (isAway) return { state: 'away', by: latest };
  if (!aboard.has(latest.toId)) return { state: 'open', by: null };
  if (latest.check !== null) return { state: 'aboard', by: latest };
  return held.state === 'aboard' ? held : { state: 'open', by: null };
}

describe('against a second count, written another way', () => {
  test('loose items come to the same state by the same line', () => {
    fc.assert(
      fc.property(fc.array(draft(['move', 'move', 'absence', 'void']), { maxLength: 30 }), (drafts) => {
        const world = makeWorld();
        const loose = { ...world, items: world.items.slice(0, 2), places: world.places.slice(0, 4) };
        // Before opening, a finding belongs to another count that nobody opened; so scans set it aside only later.
        for (const line of drafts) write(loose, line);
        say(world.outfit, OPENED, openOf(world.stop.id, 1, world.truck));
        const count = countOf(world.outfit, world.stop);
        const states = count.lines
          .filter((line) => loose.items.includes(line.thingId))
          .map((line) => [line.thingId, [line.state, line.said?.lineId ?? null]] as const);
        expect(new Map(states)).toEqual(countAgain(loose, new Set([world.truck, world.shelf])));
      }),
      { numRuns: 500 },
    );
  });

  test('counted gear: short, covered or aboard as the numbers of the latest count and finding come out', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.boolean(), fc.nat(5), fc.nat(400)), { maxLength: 12 }), (said) => {
        const world = makeWorld();
        say(world.outfit, OPENED, openOf(world.stop.id, 1, world.truck));
        const context = {
          stopId: world.stop.id,
          round: 1,
          note: null,
          thingId: world.clamps,
          toId: world.shelf,
        };
        const lines = said.map(([isCount, number, minute]) => {
          const at = OPENED + minute * MINUTE;
          if (isCount)
            return say(world.outfit, at, { kind: 'hand-count', ...context, number, check: 'by-number' });
          const absence = {
            kind: 'absence' as const,
            ...context,
            finding: 'not-found' as const,
            shownId: null,
          };
          return say(world.outfit, at, { ...absence, number: number + 1 });
        });
        const latest = (kind: string) =>
          lines.filter((line) => line.kind === kind).sort((a, b) => (isBefore(a, b) ? 1 : -1))[0];
        const [counted, finding] = [latest('hand-count'), latest('absence')];
        const found = counted?.kind === 'hand-count' ? counted.number : null;
        const gap = Math.max(0, 3 - (found ?? 0));
        // A count of all of them sets aside the findings before it.
        const allAt = lines.filter((line) => line.kind === 'hand-count' && line.number >= 3);
        const stands = finding?.kind === 'absence' && !allAt.some((line) => isBefore(finding, line));
        const absent = stands && finding.kind === 'absence' ? (finding.number ?? 0) : 0;
        const isLater = counted === undefined || (finding !== undefined && isBefore(counted, finding));
        const expected =
          gap > absent
            ? found === null
              ? 'open'
              : 'short'
            : stands && (gap > 0 || isLater)
              ? 'absent'
              : 'aboard';
        const line = countOf(world.outfit, world.stop).lines.find((known) => known.placeId === world.shelf);
        expect([line?.state, line?.found]).toEqual([expected, found]);
      }),
      { numRuns: 500 },
    );
  });
});
