// Builders that read like sentences, and arbitraries, for tests of the ledger. Everything is a function of its
// arguments: the same facts give the same ids, so that a failure can be played again.
import fc from 'fast-check';
import { v5 } from 'uuid';
import type { Book } from '#domain/book.ts';
import type { AtlasPlace } from '#domain/chain.ts';
import {
  clockRunIdSchema,
  deviceIdSchema,
  type MovementId,
  makeUuidV7,
  movementIdSchema,
  type PlaceId,
  personIdSchema,
  placeIdSchema,
  stopIdSchema,
  type ThingId,
  thingIdSchema,
} from '#domain/ids.ts';
import {
  type Movement,
  type MovementKind,
  type MovementOf,
  movementSchema,
  type Recorded,
} from '#domain/movement.ts';

// A namespace of the tests, drawn once.
const NAMESPACE = '0d9c9d0e-7a63-4b0e-8a5b-3b7a3a2f6c11';
const idFrom = (name: string) => v5(name, NAMESPACE);

/** A thing by its name. A container or a vehicle has the same id as a thing and as a place. */
export const thing = (name: string): ThingId => thingIdSchema.parse(idFrom(name));
export const place = (name: string): PlaceId => placeIdSchema.parse(idFrom(name));
export const stop = (name: string) => stopIdSchema.parse(idFrom(`stop ${name}`));
export const person = (name: string) => personIdSchema.parse(idFrom(`person ${name}`));
export const device = (name: string) => deviceIdSchema.parse(idFrom(`device ${name}`));
export const clockRun = (name: string) => clockRunIdSchema.parse(idFrom(`run ${name}`));

/** The id of a line (UUIDv7): the time in its front, the rest from its name. */
export function lineId(name: string, msecs = 0): MovementId {
  const bytes = v5(name, NAMESPACE, new Uint8Array(16));
  return movementIdSchema.parse(makeUuidV7(msecs, bytes));
}

type Facts<K extends MovementKind> = Partial<Omit<MovementOf<K>, 'kind'>> & {
  readonly at: number;
  readonly timeUncertain?: boolean;
  /** Tells lines apart that say the same at the same time. */
  readonly n?: number;
};

const NOBODY_SAID = { stopId: null, round: null, note: null };
const SCANNED = { check: 'scanned', why: 'arrival', spot: null };
const DEFAULTS: Record<MovementKind, Record<string, unknown>> = {
  move: { ...SCANNED, thingId: thing('lamp'), code: null, toId: place('hut'), sealUnbroken: false },
  quantity: { ...SCANNED, thingId: thing('cables'), number: 1, fromId: null, toId: place('hut') },
  'hand-count': { thingId: thing('cables'), toId: place('hut'), number: 0, check: 'by-number' },
  void: { thingId: null },
  seal: { thingId: thing('case'), contents: [], tie: null },
  unseal: { thingId: thing('case') },
  absence: { thingId: thing('lamp'), toId: null, finding: 'not-found', number: null, shownId: null },
  answer: { stopId: stop('reeds'), round: 1, toId: place('shelf'), check: 'by-sight' },
  mark: { thingId: thing('lamp'), mark: 'faulty', on: true },
  open: { stopId: stop('reeds'), round: 1, vehicleId: place('truck') },
  close: {
    stopId: stop('reeds'),
    round: 1,
    lines: [],
    sums: { expected: 0, aboard: 0, notFound: 0, away: 0, compartments: 0, notOpened: 0 },
  },
};

const isOf =
  <K extends MovementKind>(kind: K) =>
  (line: Movement): line is MovementOf<K> =>
    line.kind === kind;

/**
 * A line with its effective time, e.g. `makeLine('move', { at: 5, thingId: thing('lamp'), toId: place('hut') })`.
 * What is not said is filled in and then parsed, so a line that could not be sent cannot be made.
 */
export function makeLine<K extends MovementKind>(kind: K, facts: Facts<K>): Recorded<MovementOf<K>> {
  const { at, timeUncertain = false, n = 0, ...said } = facts;
  const line = movementSchema.parse({
    id: lineId(JSON.stringify([kind, facts]), Math.max(at, 0)),
    deviceId: device('phone'),
    deviceNo: n + 1,
    deviceAt: Math.max(at, 0),
    clockRun: clockRun('morning'),
    personId: null,
    ...NOBODY_SAID,
    ...DEFAULTS[kind],
    ...said,
    kind,
  });
  if (!isOf(kind)(line)) throw new Error(`made a line of another kind than ${kind}`);
  return { ...line, at, timeUncertain };
}

/** A void of a line, naming its thing as a phone does. */
export function makeVoid(of: Recorded, at: number, n = 0): Recorded<MovementOf<'void'>> {
  const thingId = 'thingId' in of ? of.thingId : null;
  return makeLine('void', { at, n, voids: of.id, thingId });
}

/** A book from the first line on. */
export const bookOf = (lines: readonly Recorded[]): Book => ({ since: 0, base: [], levels: [], lines });

/** A fixed place, inside another or inside nothing. */
export const fixedPlace = (name: string, parent: string | null = null): AtlasPlace => ({
  id: place(name),
  parentId: parent === null ? null : place(parent),
  thingId: null,
});
/** A vehicle or a container: a place that moves as the thing of the same name. */
export const movingPlace = (name: string): AtlasPlace => ({
  id: place(name),
  parentId: null,
  thingId: thing(name),
});
export const atlasPlaces = (...places: readonly AtlasPlace[]): ReadonlyMap<PlaceId, AtlasPlace> =>
  new Map(places.map((one) => [one.id, one]));

/** A small world: few names and few instants, so that things meet, tie and loop often. */
export const MOVING = ['truck', 'boat', 'cart', 'case', 'pouch'];
export const FIXED: readonly AtlasPlace[] = [
  fixedPlace('yard'),
  fixedPlace('hut'),
  fixedPlace('shelf', 'truck'),
  fixedPlace('locker', 'boat'),
  fixedPlace('tray', 'cart'),
];
export const WORLD = atlasPlaces(...FIXED, ...MOVING.map(movingPlace));
const ITEMS = ['lamp', 'lens', ...MOVING];
const COUNTED = ['cables', 'clamps'];
const PLACES = ['yard', 'hut', 'shelf', 'locker', 'tray', ...MOVING];
const LATEST_AT = 12;

const anyAt = fc.integer({ min: 0, max: LATEST_AT });
const anyItem = fc.constantFrom(...ITEMS).map(thing);
const anyCounted = fc.constantFrom(...COUNTED).map(thing);
export const anyPlace = fc.constantFrom(...PLACES).map(place);
const anyNumber = fc.integer({ min: 1, max: 9 });

type Plan = (n: number) => Recorded;
const aMove = fc.record({ at: anyAt, thingId: anyItem, toId: anyPlace }).map(
  (facts): Plan =>
    (n) =>
      makeLine('move', { ...facts, n }),
);
const aQuantity = fc
  .record({
    at: anyAt,
    thingId: anyCounted,
    number: anyNumber,
    fromId: fc.option(anyPlace),
    toId: fc.option(anyPlace),
  })
  .map(
    (facts): Plan =>
      (n) =>
        makeLine('quantity', { ...facts, n }),
  );
const aHandCount = fc
  .record({ at: anyAt, thingId: anyCounted, toId: anyPlace, number: fc.nat({ max: 9 }) })
  .map(
    (facts): Plan =>
      (n) =>
        makeLine('hand-count', { ...facts, n }),
  );
const aSeal = fc
  .record({
    at: anyAt,
    thingId: fc.constantFrom(...MOVING).map(thing),
    contents: fc.uniqueArray(fc.constantFrom(...ITEMS, ...COUNTED).map(thing), { maxLength: 3 }),
  })
  .map(
    (facts): Plan =>
      (n) =>
        makeLine('seal', { ...facts, n }),
  );
const anUnseal = fc.record({ at: anyAt, thingId: fc.constantFrom(...MOVING).map(thing) }).map(
  (facts): Plan =>
    (n) =>
      makeLine('unseal', { ...facts, n }),
);
const aMark = fc
  .record({
    at: anyAt,
    thingId: anyItem,
    mark: fc.constantFrom('faulty' as const, 'holds-rushes' as const),
    on: fc.boolean(),
    note: fc.constantFrom(null, 'hums'),
  })
  .map(
    (facts): Plan =>
      (n) =>
        makeLine('mark', { ...facts, n }),
  );
const anAbsence = fc.record({ at: anyAt, thingId: anyItem }).map(
  (facts): Plan =>
    (n) =>
      makeLine('absence', { ...facts, n }),
);

/** Which line a void names, counted from the first, of the lines without and with voids; beyond them an unknown id. */
const aVoid = fc.record({ at: anyAt, of: fc.nat({ max: 40 }) });

/** Any set of lines of the small world: each id once, voids of anything (of voids and unknown ids too). */
export const anyLines: fc.Arbitrary<readonly Recorded[]> = fc
  .tuple(
    fc.array(
      fc.oneof(
        { weight: 5, arbitrary: aMove },
        { weight: 3, arbitrary: aQuantity },
        { weight: 2, arbitrary: aHandCount },
        { weight: 2, arbitrary: aSeal },
        anUnseal,
        aMark,
        anAbsence,
      ),
      { maxLength: 30 },
    ),
    fc.array(aVoid, { maxLength: 8 }),
  )
  .map(([plans, voids]) => {
    const lines = plans.map((plan, n) => plan(n));
    for (const [n, { at, of }] of voids.entries()) {
      const target = lines[of];
      const stray = makeLine('void', { at, n: 100 + n, voids: lineId(`unknown ${of}`) });
      lines.push(target === undefined ? stray : makeVoid(target, at, 100 + n));
    }
    return lines;
  });

/** Only moves of containers and vehicles among places: loops are common. */
export const anyMovesOfContainers: fc.Arbitrary<readonly Recorded[]> = fc
  .array(fc.record({ at: anyAt, thingId: fc.constantFrom(...MOVING).map(thing), toId: anyPlace }), {
    maxLength: 20,
  })
  .map((moves) => moves.map((facts, n) => makeLine('move', { ...facts, n })));

/** The same lines as they may arrive: in any order, some more than once. */
export function anyArrival(lines: readonly Recorded[]): fc.Arbitrary<readonly Recorded[]> {
  if (lines.length === 0) return fc.constant([]);
  return fc
    .tuple(
      fc.shuffledSubarray([...lines], { minLength: lines.length }),
      fc.array(fc.tuple(fc.constantFrom(...lines), fc.nat({ max: lines.length })), { maxLength: 6 }),
    )
    .map(([order, repeats]) => {
      const arrived = [...order];
      for (const [line, index] of repeats) arrived.splice(index, 0, line);
      return arrived;
    });
}

export const anyLinesAsTheyArrive = anyLines.chain((lines) =>
  fc.record({ lines: fc.constant(lines), arrived: anyArrival(lines) }),
);
