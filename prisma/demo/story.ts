// What happened to the demo outfit's gear: six months of lines, told forwards. Counts are answered and closed with the
// same rules as on a phone, so that nothing in the demo could not have been written by a crew. The last stop is in the
// middle of its wrap when the story ends.
import { answerBySight } from '#domain/by-sight.ts';
import { type CountFacts, computeCount } from '#domain/count.ts';
import { checkLine, closingOf, type Fact, findAbsent, findPlaced, openOf } from '#domain/count-answers.ts';
import type { Count, CountLine } from '#domain/count-shape.ts';
import {
  type ClockRunId,
  type DeviceId,
  makeUuidV7,
  movementIdSchema,
  type PersonId,
  type PlaceId,
  type ThingId,
} from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import type { Movement, Recorded } from '#domain/movement.ts';
import { movementSchema } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';

export interface StoryGround extends Omit<CountFacts, 'book' | 'stop' | 'round'> {
  readonly stops: readonly Stop[];
  readonly vehicleId: PlaceId;
  readonly boatId: PlaceId;
  readonly storeId: PlaceId;
  /** Where numbers of counted gear and consumables stood when the outfit began its ledger. */
  readonly firstNumbers: readonly {
    readonly thingId: ThingId;
    readonly placeId: PlaceId;
    readonly number: number;
  }[];
  readonly beganAt: number;
  readonly now: number;
  readonly deviceId: DeviceId;
  readonly clockRun: ClockRunId;
  readonly owner: PersonId;
  readonly mate: PersonId;
  readonly random: () => Uint8Array;
}

const MINUTE = 60_000;

/** The pen of the story: each fact becomes a line one second after the one before, at the earliest when it is told. */
function makePen(ground: StoryGround) {
  const lines: Movement[] = [];
  let clock = ground.beganAt;
  const write = (facts: readonly Fact[], personId: PersonId) => {
    for (const fact of facts) {
      clock += 1_000;
      const stamp = {
        id: movementIdSchema.parse(makeUuidV7(clock, ground.random())),
        deviceId: ground.deviceId,
        deviceNo: lines.length + 1,
        deviceAt: clock,
        clockRun: ground.clockRun,
        personId,
      };
      lines.push(movementSchema.parse({ ...fact, ...stamp }));
    }
  };
  const book = () => ({
    since: ground.beganAt,
    base: [],
    levels: [],
    lines: lines.map((line): Recorded => ({ ...line, at: line.deviceAt, timeUncertain: false })),
  });
  const waitUntil = (at: number) => {
    clock = Math.max(clock, at);
  };
  return { lines, write, book, waitUntil };
}
type Pen = ReturnType<typeof makePen>;

const nowhere = { stopId: null, round: null, note: null } as const;

function moveOf(thingId: ThingId, toId: PlaceId, more: Partial<Extract<Fact, { kind: 'move' }>> = {}): Fact {
  return {
    ...nowhere,
    ...{ kind: 'move', check: null, why: 'arrival', spot: null, code: null, sealUnbroken: false },
    ...{ thingId, toId },
    ...more,
  };
}

function begin(ground: StoryGround, pen: Pen): void {
  for (const thing of ground.things.values()) {
    const home = thing.homes.find(({ way }) => way === 'driving');
    if (thing.kind === 'item' && home)
      pen.write([moveOf(thing.id, home.placeId, { why: 'arrival' })], ground.owner);
  }
  for (const { thingId, placeId, number } of ground.firstNumbers) {
    pen.write(
      [{ ...nowhere, kind: 'hand-count', thingId, toId: placeId, number, check: 'by-number' }],
      ground.owner,
    );
  }
}

/** What usually comes out of the vehicle, with the spot where it is put down. */
const OUT: readonly (readonly [name: string, spot: string])[] = [
  ['Camera A', 'on the big tripod'],
  ['Big tripod', 'end of the boardwalk'],
  ['Fluid head', 'on the big tripod'],
  ['Long zoom 60–600', 'on camera A'],
  ['Sound pouch', 'by the hide'],
  ['Quick plate, short', 'on the rail'],
  ['Charger for small batteries', 'wall socket behind the door'],
  ['Small light 1', 'clamped to a branch'],
  ['Soft panel light', 'facing the chair'],
];

function named(ground: StoryGround, name: string) {
  const thing = [...ground.things.values()].find((known) => known.name === name);
  assert(thing, `the demo outfit has ${name}`);
  return thing;
}

function goIn(ground: StoryGround, pen: Pen, stop: Stop, howMany: number): void {
  const moving = { stopId: stop.id, why: 'load-in', check: 'scanned' } as const;
  for (const [name, spot] of OUT.slice(0, howMany)) {
    const thing = named(ground, name);
    pen.write(
      [moveOf(thing.id, stop.placeId, { ...moving, spot, code: thing.codes[0] ?? null })],
      ground.mate,
    );
  }
  const battery = named(ground, 'Camera battery 98 Wh');
  const [home] = battery.homes;
  assert(home, 'batteries have a home');
  const taken = {
    ...nowhere,
    kind: 'quantity',
    check: null,
    why: 'load-in',
    stopId: stop.id,
    spot: 'on the cameras',
  } as const;
  pen.write(
    [{ ...taken, thingId: battery.id, number: 3, fromId: home.placeId, toId: stop.placeId }],
    ground.mate,
  );
}

function countNow(ground: StoryGround, pen: Pen, stop: Stop): Count {
  const count = computeCount({ ...ground, book: pen.book(), stop, round: 1 });
  assert(count, 'the count was opened');
  return count;
}

function lineNamed(count: Count, name: string): CountLine | undefined {
  return count.lines.find((line) => line.name === name);
}

/** What is said of single things at a stop's wrap; everything else is answered for by sight. */
type Said = Readonly<Record<string, 'not-found' | 'did-not-come' | { readonly with: string }>>;

function sayOfOne(ground: StoryGround, pen: Pen, stop: Stop, name: string, said: Said[string]): void {
  const count = countNow(ground, pen, stop);
  const line = lineNamed(count, name);
  if (!line) return;
  if (typeof said === 'string') {
    pen.write([findAbsent(count, line, said, { number: 1 })], ground.owner);
    return;
  }
  const party = [...ground.places.values()].find((place) => place.name === said.with);
  assert(party, `${said.with} is a party of the demo outfit`);
  pen.write(
    findPlaced(count, line, { why: 'with-somebody', toId: party.id, spot: null, note: said.with, number: 1 }),
    ground.owner,
  );
}

function scanBack(ground: StoryGround, pen: Pen, stop: Stop, names: readonly string[]): void {
  for (const name of names) {
    const count = countNow(ground, pen, stop);
    const line = lineNamed(count, name);
    const fact = line && checkLine(count, line, 'scanned');
    if (fact?.kind === 'move')
      pen.write([{ ...fact, code: named(ground, name).codes[0] ?? null }], ground.mate);
  }
}

/** What was not found on an earlier day is asked for again, and is still not there. */
function sayStillMissing(ground: StoryGround, pen: Pen, stop: Stop): void {
  const count = countNow(ground, pen, stop);
  const missing = count.lines.filter((line) => line.state === 'open' && line.missingSince !== null);
  pen.write(
    missing.map((line) => findAbsent(count, line, 'not-found')),
    ground.owner,
  );
}

function wrap(ground: StoryGround, pen: Pen, stop: Stop, said: Said): void {
  pen.write([openOf(stop.id, 1, ground.vehicleId)], ground.owner);
  sayStillMissing(ground, pen, stop);
  for (const [name, word] of Object.entries(said)) sayOfOne(ground, pen, stop, name, word);
  scanBack(
    ground,
    pen,
    stop,
    ['Camera A', 'Long zoom 60–600', 'Sound pouch'].filter((name) => !(name in said)),
  );
  for (const { placeId } of countNow(ground, pen, stop).compartments) {
    pen.write(answerBySight(countNow(ground, pen, stop), placeId), ground.owner);
  }
  const count = countNow(ground, pen, stop);
  assert(count.mayClose, `every line at ${stop.name} has an answer`);
  pen.write([closingOf(count)], ground.owner);
}

/** The last stop: opened, a third of it answered, and a charger still at the wall. */
function beginToWrap(ground: StoryGround, pen: Pen, stop: Stop): void {
  pen.write([openOf(stop.id, 1, ground.vehicleId)], ground.owner);
  scanBack(ground, pen, stop, ['Camera A', 'Long zoom 60–600']);
  for (const { placeId } of countNow(ground, pen, stop).compartments.slice(1, 4)) {
    const count = countNow(ground, pen, stop);
    const isQuiet = count.lines.every((line) => line.compartmentId !== placeId || !line.wentOut);
    if (isQuiet) pen.write(answerBySight(count, placeId), ground.mate);
  }
}

const SAID_AT: Readonly<Record<string, Said>> = {
  'Ostermoor jetty': { 'Quick plate, short': 'not-found' },
  'Ostermoor reed bed': { 'Small light 2': 'not-found' },
  'Weir at Lowmere': { 'Camera battery 98 Wh': { with: 'Runa Feldt' } },
  'Lowmere smokehouse': { 'Head torch 2': 'did-not-come' },
};

function driveTo(ground: StoryGround, pen: Pen, placeId: PlaceId, stopId: Stop['id'] | null): void {
  const vehicle = [...ground.things.values()].filter(({ id }) =>
    [ground.vehicleId, ground.boatId].some((own) => own.toString() === id),
  );
  pen.write(
    vehicle.map(({ id }) => moveOf(id, placeId, { stopId })),
    ground.owner,
  );
}

function wear(ground: StoryGround, pen: Pen): void {
  const torch = named(ground, 'Head torch 2');
  const words = 'flickers when it is cold';
  pen.write(
    [{ ...nowhere, kind: 'mark', thingId: torch.id, mark: 'faulty', on: true, note: words }],
    ground.mate,
  );
  for (const name of ['Card 2', 'Card 3']) {
    pen.write(
      [{ ...nowhere, kind: 'mark', thingId: named(ground, name).id, mark: 'holds-rushes', on: true }],
      ground.owner,
    );
  }
}

/** Tells the whole story: the lines as a device would have written them, in their order. */
export function tellStory(ground: StoryGround): readonly Movement[] {
  const pen = makePen(ground);
  begin(ground, pen);
  const last = ground.stops.at(-1);
  for (const stop of ground.stops) {
    pen.waitUntil(stop.startsAt);
    driveTo(ground, pen, stop.placeId, stop.id);
    const isLast = stop === last;
    if (stop.kind === 'location') goIn(ground, pen, stop, isLast ? OUT.length : 6);
    if (isLast) wear(ground, pen);
    pen.waitUntil(stop.endsAt ?? Math.max(stop.startsAt + MINUTE, ground.now - 20 * MINUTE));
    if (isLast) beginToWrap(ground, pen, stop);
    else wrap(ground, pen, stop, SAID_AT[stop.name] ?? {});
  }
  return pen.lines;
}
