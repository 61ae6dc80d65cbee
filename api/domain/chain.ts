// Where a thing is in the end: thing, container, vehicle, location (law 7). Contents move with their container;
// nothing is written for what is inside. One walk for phone and service, which never ends up in a loop.
import type { Position } from './book.ts';
import type { PlaceId, ThingId } from './ids.ts';
import { compareLines, type Standing } from './ledger.ts';

export interface AtlasPlace {
  readonly id: PlaceId;
  /** What a fixed place is inside of. Of a vehicle or a container it says nothing: those move as things. */
  readonly parentId: PlaceId | null;
  /** Set for a vehicle or a container: the thing this place is. */
  readonly thingId: ThingId | null;
}

/** The places that are known, and where those that move have been, newest first. */
export interface Atlas {
  readonly places: ReadonlyMap<PlaceId, AtlasPlace>;
  readonly history: Pick<Standing['history'], 'get'>;
}

/** How many of its latest lines a container is passed over by; none where it is not named. */
type PassedOver = Map<ThingId, number>;

/**
 * The places a place is inside of, itself first, outwards. Where the lines close a loop, the loop's latest edge by
 * (at, id) is passed over and its container counts as at the destination of its line before, until no loop is
 * left; with no line before, it is nowhere. The result does not depend on where the walk began. A place that is
 * not known ends the chain, and so does a loop of fixed places only, which nothing but a fault could make.
 */
export function chainOf(placeId: PlaceId, atlas: Atlas): readonly PlaceId[] {
  return walk(placeId, atlas, new Map(), null);
}

export interface Loop {
  readonly containerId: ThingId;
  /** Its latest line, which closes a loop. */
  readonly passedOver: Position;
  /** Where it counts as being instead; null is nowhere. */
  readonly countsAt: PlaceId | null;
}

/** Every container whose latest line is passed over, by the time of that line: conflicts to be shown. */
export function loopsIn(atlas: Atlas): readonly Loop[] {
  const passed: PassedOver = new Map();
  for (const place of atlas.places.values()) if (place.thingId !== null) walk(place.id, atlas, passed, null);
  const loops: Loop[] = [];
  for (const [containerId, times] of passed) {
    const past = atlas.history.get(containerId);
    const passedOver = past?.[0];
    if (passedOver === undefined) continue;
    loops.push({ containerId, passedOver, countsAt: past?.[times]?.placeId ?? null });
  }
  return loops.sort((a, b) => compareLines(lineOf(a.passedOver), lineOf(b.passedOver)));
}

/**
 * Whether putting a thing there now would close a loop: the place is the thing itself or somewhere inside it. The
 * phone refuses that; the service records it, because a line that came is a fact.
 */
export function wouldLoop(thingId: ThingId, toId: PlaceId, atlas: Atlas): boolean {
  const places = walk(toId, atlas, new Map(), thingId);
  return places.some((id) => atlas.places.get(id)?.thingId === thingId);
}

const lineOf = (position: Position) => ({ at: position.at, id: position.movementId });

/** Walks outwards and notes in `passed` what it passes over. `endsAt` is taken to be in nothing. */
function walk(from: PlaceId, atlas: Atlas, passed: PassedOver, endsAt: ThingId | null): readonly PlaceId[] {
  const chain: PlaceId[] = [];
  let next: PlaceId | null = from;
  while (next !== null) {
    const start = chain.indexOf(next);
    if (start < 0) {
      chain.push(next);
      next = outwards(next, atlas, passed, endsAt);
      continue;
    }
    const latest = latestEdge(chain.slice(start), atlas, passed);
    if (latest === null) return chain;
    passed.set(latest.thingId, (passed.get(latest.thingId) ?? 0) + 1);
    chain.length = chain.indexOf(latest.placeId) + 1;
    next = outwards(latest.placeId, atlas, passed, endsAt);
  }
  return chain;
}

function outwards(
  placeId: PlaceId,
  atlas: Atlas,
  passed: PassedOver,
  endsAt: ThingId | null,
): PlaceId | null {
  const place = atlas.places.get(placeId);
  if (place === undefined) return null;
  if (place.thingId === null) return place.parentId;
  if (place.thingId === endsAt) return null;
  return edgeOf(place.thingId, atlas, passed)?.placeId ?? null;
}

function edgeOf(thingId: ThingId, atlas: Atlas, passed: PassedOver): Position | undefined {
  return atlas.history.get(thingId)?.[passed.get(thingId) ?? 0];
}

/** The place on this loop whose way out was written last, and the thing it is; null where no place on it moves. */
function latestEdge(
  loop: readonly PlaceId[],
  atlas: Atlas,
  passed: PassedOver,
): { readonly placeId: PlaceId; readonly thingId: ThingId } | null {
  let latest: { placeId: PlaceId; thingId: ThingId; edge: Position } | null = null;
  for (const placeId of loop) {
    const thingId = atlas.places.get(placeId)?.thingId ?? null;
    const edge = thingId === null ? undefined : edgeOf(thingId, atlas, passed);
    if (thingId === null || edge === undefined) continue;
    if (latest === null || compareLines(lineOf(edge), lineOf(latest.edge)) > 0) {
      latest = { placeId, thingId, edge };
    }
  }
  return latest;
}
