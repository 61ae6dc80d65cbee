// What a count shows beside its lines and what never holds it open: scans that are no line, things aboard outside
// their home (the tidy list), and consumables below par (the refill list).
import type { CountFacts, CountGround } from './count-ground.ts';
import type { Count, CountLine } from './count-shape.ts';
import type { PlaceId, ThingId } from './ids.ts';
import { isKept } from './marks.ts';
import type { MovementOf, Recorded } from './movement.ts';
import type { Thing } from './thing.ts';
import { compareText } from './urgency.ts';

/**
 * Scans since opening, until the closing, that answer no line: codes nobody knows, and things that came aboard
 * without being expected there. The latest scan of each thing or code, in the order of law 4.
 */
export function extrasOf(
  facts: CountFacts,
  ground: CountGround,
  lines: readonly CountLine[],
): Count['extras'] {
  const asked = new Set<ThingId>(lines.map((line) => line.thingId));
  const latest = new Map<string, Recorded<MovementOf<'move'>>>();
  for (const line of ground.linesSinceOpening) {
    if (line.kind !== 'move' || line.check !== 'scanned' || line.at > ground.closedAt) continue;
    if (line.thingId === null) latest.set(`code ${line.code ?? line.id}`, line);
    else if (!asked.has(line.thingId) && isExtra(line.thingId, line.toId, ground))
      latest.set(line.thingId, line);
  }
  return [...latest.values()].map(({ id, at, thingId, code, note }) => {
    const thing = thingId === null ? undefined : facts.things.get(thingId);
    return { lineId: id, at, thingId, name: thing?.name ?? null, code, whose: thing?.whose ?? null, note };
  });
}

function isExtra(thingId: ThingId, toId: PlaceId, ground: CountGround): boolean {
  const isTheVehicle: boolean = String(thingId) === String(ground.vehicleId);
  return !isTheVehicle && ground.isAboard(toId, ground.openedAt);
}

/** Where a thing lives when the vehicle carries it. */
export function drivingHomesOf(thing: Pick<Thing, 'homes'>): readonly PlaceId[] {
  return thing.homes.filter((home) => home.way === 'driving').map((home) => home.placeId);
}

/** Things aboard now, as far as anybody knows, that have a driving home and are neither in it nor in something in it. */
export function misplacedOf(
  facts: CountFacts,
  ground: CountGround,
  lines: readonly CountLine[],
): Count['misplaced'] {
  const notThere = new Set<string>();
  for (const line of lines) {
    if (line.state !== 'aboard') notThere.add(`${line.thingId} ${line.placeId ?? ''}`);
  }
  const found: Count['misplaced'] = [];
  const look = (thingId: ThingId, placeId: PlaceId, atPlace: string) => {
    // Asked first: of a large outfit most is elsewhere.
    const chain = ground.now.of(placeId);
    if (!chain.includes(ground.vehicleId)) return;
    const thing = facts.things.get(thingId);
    if (thing === undefined || thing.kind === 'consumable' || !isKept(thing)) return;
    const [homePlaceId, ...others] = drivingHomesOf(thing);
    if (homePlaceId === undefined || notThere.has(`${thingId} ${atPlace}`)) return;
    if ([homePlaceId, ...others].some((homeId) => chain.includes(homeId))) return;
    found.push({ thingId, name: thing.name, placeId, homePlaceId });
  };
  for (const [thingId, position] of ground.now.standing.positions) look(thingId, position.placeId, '');
  for (const [thingId, levels] of ground.now.standing.levels) {
    for (const [placeId, number] of levels) if (number > 0) look(thingId, placeId, placeId);
  }
  return found.sort(byName);
}

/**
 * Consumables that this vehicle carries (some were counted there, or it is their home) and holds fewer of than their
 * par. The number is the sum over the places aboard; it may be negative until a missing line arrives (law 6).
 */
export function refillOf(facts: CountFacts, ground: CountGround): Count['refill'] {
  const refill: Count['refill'] = [];
  const isAboard = (placeId: PlaceId) => ground.now.holds(placeId, ground.vehicleId);
  for (const thing of facts.things.values()) {
    if (thing.kind !== 'consumable' || thing.par === null || !isKept(thing)) continue;
    const levels = [...(ground.now.standing.levels.get(thing.id) ?? [])].filter(([placeId]) =>
      isAboard(placeId),
    );
    if (levels.length === 0 && !drivingHomesOf(thing).some(isAboard)) continue;
    const number = levels.reduce((sum, [, here]) => sum + here, 0);
    if (number >= thing.par) continue;
    refill.push({ thingId: thing.id, name: thing.name, unit: thing.unit, number, par: thing.par });
  }
  return refill.sort(byName);
}

function byName(
  a: { name: string; thingId: string; placeId?: string },
  b: { name: string; thingId: string; placeId?: string },
): number {
  return (
    compareText(a.name, b.name) ||
    compareText(a.thingId, b.thingId) ||
    compareText(a.placeId ?? '', b.placeId ?? '')
  );
}
