// Makes an outfit, its places and its ledger for tests of the count. Every test makes its own; ids count upwards.
import type { Book, Level, Position } from '#domain/book.ts';
import { type CountFacts, computeCount } from '#domain/count.ts';
import { type Fact, openOf } from '#domain/count-answers.ts';
import type { Count, CountLine } from '#domain/count-shape.ts';
import {
  asPlaceId,
  clockRunIdSchema,
  deviceIdSchema,
  movementIdSchema,
  type PlaceId,
  personIdSchema,
  placeIdSchema,
  stopIdSchema,
  type ThingId,
  thingIdSchema,
} from '#domain/ids.ts';
import { movementSchema, type Recorded } from '#domain/movement.ts';
import type { Place, PlaceKind, Stop } from '#domain/place.ts';
import type { Thing, ThingClass, ThingKind } from '#domain/thing.ts';

let made = 0;
function uuid(version: 4 | 7): string {
  made += 1;
  return `${made.toString(16).padStart(8, '0')}-0000-${version}000-8000-000000000000`;
}

export const MINUTE = 60_000;
export const utc = (text: string) => Date.parse(text);
export const PERSON = personIdSchema.parse(uuid(4));
export const FRIEND_OF_CREW = personIdSchema.parse(uuid(4));
const DEVICE = deviceIdSchema.parse(uuid(4));
const CLOCK = clockRunIdSchema.parse(uuid(4));
/** What was aboard before any of a test's lines was brought there then. */
export const LONG_AGO = utc('2026-05-01T08:00:00Z');

const UNKNOWN: Omit<Thing, 'id' | 'name' | 'kind'> = {
  classId: null,
  maker: null,
  model: null,
  description: null,
  serial: null,
  whose: 'ours',
  ownerPlaceId: null,
  whoseFrom: null,
  whoseUntil: null,
  feeMinor: null,
  feePer: null,
  weightGrams: null,
  widthMm: null,
  heightMm: null,
  depthMm: null,
  purchasedOn: null,
  purchaseMinor: null,
  purchaseCurrency: null,
  purchasedFrom: null,
  country: null,
  container: false,
  check: null,
  builtOnId: null,
  chemistry: null,
  wattHours: null,
  volts: null,
  ampereHours: null,
  lithiumGrams: null,
  cycles: null,
  unit: null,
  par: null,
  note: null,
  homes: [],
  codes: [],
  replacement: null,
  valueRank: 0,
  faulty: null,
  holdsRushes: false,
  mergedIntoId: null,
  writtenOff: false,
  version: 1,
};

export interface Outfit {
  readonly places: Map<PlaceId, Place>;
  readonly things: Map<ThingId, Thing>;
  readonly classes: Map<string, ThingClass>;
  readonly base: Position[];
  readonly levels: Level[];
  readonly lines: Recorded[];
}

export const makeOutfit = (): Outfit => ({
  places: new Map(),
  things: new Map(),
  classes: new Map(),
  base: [],
  levels: [],
  lines: [],
});

export function addPlace(
  outfit: Outfit,
  kind: PlaceKind,
  name: string,
  more: { parentId?: PlaceId; sort?: number; id?: PlaceId; thingId?: ThingId } = {},
): PlaceId {
  const id = more.id ?? placeIdSchema.parse(uuid(4));
  outfit.places.set(id, {
    id,
    kind,
    name,
    parentId: more.parentId ?? null,
    sort: more.sort ?? outfit.places.size,
    zone: null,
    address: null,
    note: null,
    thingId: more.thingId ?? null,
    unnamed: false,
    pictureIds: [],
    codes: [],
    version: 1,
  });
  return id;
}

export function addClass(outfit: Outfit, name: string, more: Partial<ThingClass> = {}): string {
  const id = uuid(4);
  const rest = { parentId: null, check: 'seen' as const, forgotten: 0, essential: false, lifeMonths: null };
  outfit.classes.set(id, { id, name, ...rest, residualPermille: null, needs: [], version: 1, ...more });
  return id;
}

function addThing(outfit: Outfit, kind: ThingKind, name: string, more: Partial<Thing>): ThingId {
  const id = thingIdSchema.parse(uuid(4));
  outfit.things.set(id, { ...UNKNOWN, id, name, kind, ...more });
  return id;
}

/** An item that was put there long ago; nowhere when no place is given. */
export function addItem(
  outfit: Outfit,
  name: string,
  placeId: PlaceId | null,
  more: Partial<Thing> = {},
): ThingId {
  const thingId = addThing(outfit, 'item', name, more);
  if (placeId !== null) {
    const movementId = movementIdSchema.parse(uuid(7));
    const how = { spot: null, why: 'arrival' as const, personId: PERSON, stopId: null };
    outfit.base.push({ thingId, placeId, at: LONG_AGO, movementId, ...how });
  }
  return thingId;
}

/** A case, pouch or built camera: an item that is a place as well. */
export function addContainer(
  outfit: Outfit,
  name: string,
  placeId: PlaceId | null,
  more: Partial<Thing> = {},
) {
  const thingId = addItem(outfit, name, placeId, { container: true, ...more });
  const insideId = addPlace(outfit, 'container', name, { id: asPlaceId(thingId), thingId });
  return { thingId, insideId };
}

export function addVehicle(outfit: Outfit, name: string): PlaceId {
  const thingId = addThing(outfit, 'item', name, {});
  return addPlace(outfit, 'vehicle', name, { id: asPlaceId(thingId), thingId });
}

export function addNumbers(
  outfit: Outfit,
  kind: 'counted' | 'consumable',
  name: string,
  numbers: readonly (readonly [PlaceId, number])[],
  more: Partial<Thing> = {},
): ThingId {
  const thingId = addThing(outfit, kind, name, more);
  for (const [placeId, number] of numbers) outfit.levels.push({ thingId, placeId, number });
  return thingId;
}

export function makeStop(placeId: PlaceId, name: string, more: Partial<Stop> = {}): Stop {
  return {
    id: stopIdSchema.parse(uuid(4)),
    jobId: null,
    jobName: null,
    placeId,
    name,
    kind: 'location',
    zone: 'Europe/Lisbon',
    startsAt: 0,
    endsAt: null,
    unnamed: false,
    version: 1,
    ...more,
  };
}

/** Stamps what a tap wrote down, and puts it into the ledger. Answers the line. */
export function say<F extends Fact>(outfit: Outfit, at: number, fact: F, personId = PERSON): Recorded {
  const stamp = { id: uuid(7), deviceId: DEVICE, deviceNo: made, deviceAt: Math.max(0, at), clockRun: CLOCK };
  const line = { ...movementSchema.parse({ ...fact, ...stamp, personId }), at, timeUncertain: false };
  outfit.lines.push(line);
  return line;
}

export function sayAll(outfit: Outfit, at: number, facts: readonly Fact[]): Recorded[] {
  return facts.map((fact, index) => say(outfit, at + index, fact));
}

/** Cancels a line. */
export function takeBack(outfit: Outfit, at: number, line: Recorded): Recorded {
  const thingId = 'thingId' in line ? line.thingId : null;
  return say(outfit, at, { kind: 'void', stopId: null, round: null, note: null, voids: line.id, thingId });
}

/** A move with what a test leaves unsaid: checked by a scan, back aboard. */
export function moveOf(
  thingId: ThingId | null,
  toId: PlaceId,
  more: Partial<Extract<Fact, { kind: 'move' }>> = {},
): Extract<Fact, { kind: 'move' }> {
  const context = { stopId: null, round: null, note: null, spot: null, code: null, sealUnbroken: false };
  return { kind: 'move', ...context, check: 'scanned', why: 'wrap', thingId, toId, ...more };
}

export const goingIn = (
  thingId: ThingId,
  toId: PlaceId,
  more: Partial<Extract<Fact, { kind: 'move' }>> = {},
) => moveOf(thingId, toId, { why: 'load-in', ...more });

export function numberOf(
  thingId: ThingId,
  number: number,
  fromId: PlaceId | null,
  toId: PlaceId | null,
  more: Partial<Extract<Fact, { kind: 'quantity' }>> = {},
): Extract<Fact, { kind: 'quantity' }> {
  const context = { stopId: null, round: null, note: null, spot: null, check: null };
  return { kind: 'quantity', ...context, why: 'load-in', thingId, number, fromId, toId, ...more };
}

export function bookOf(outfit: Outfit): Book {
  return { since: LONG_AGO + 1, base: outfit.base, levels: outfit.levels, lines: outfit.lines };
}

export function factsOf(outfit: Outfit, stop: Stop, round = 1): CountFacts {
  const { places, things, classes } = outfit;
  const settings = { dayTurnsMinutes: 300, zone: 'Europe/Lisbon' };
  return { book: bookOf(outfit), stop, round, outfit: settings, places, things, classes };
}

/** The count, which has to be there. */
export function countOf(outfit: Outfit, stop: Stop, round = 1): Count {
  const count = computeCount(factsOf(outfit, stop, round));
  if (count === null) throw new Error('nobody opened this count');
  return count;
}

export function openCount(outfit: Outfit, at: number, stop: Stop, vehicleId: PlaceId, round = 1): Count {
  say(outfit, at, openOf(stop.id, round, vehicleId));
  return countOf(outfit, stop, round);
}

/** The one line of a thing (at one place). Fails when there is none. */
export function lineOf(count: Count, thingId: ThingId, placeId?: PlaceId): CountLine {
  const line = count.lines.find(
    (known) => known.thingId === thingId && (placeId === undefined || known.placeId === placeId),
  );
  if (line === undefined) throw new Error('this thing is no line of the count');
  return line;
}

/** What a line says, short enough to compare whole. */
export const gistOf = ({ state, said, found, absent, expected, missingSince, wentOut }: CountLine) => ({
  state,
  said: said?.said ?? null,
  by: said?.lineId ?? null,
  found,
  absent,
  expected,
  missingSince,
  wentOut,
});
