// Law 7: where a thing *is* follows thing → container → vehicle → location. Contents move with their container and
// nothing is written for what is inside. A loop is a conflict, shown and passed over in the same way everywhere.
import type { Position } from './book.ts';
import type { PlaceId, ThingId } from './ids.ts';
import { compareLines, type Standing } from './ledger.ts';

/** What the chains run over. A place with a `thingId` moves as that thing does; any other stands in its parent. */
export interface Atlas {
  readonly places: ReadonlyMap<
    PlaceId,
    { readonly id: PlaceId; readonly parentId: PlaceId | null; readonly thingId: ThingId | null }
  >;
  readonly history: Standing['history'];
}

/** How many of a container's latest positions are passed over because they close a loop. */
type PassedOver = Map<PlaceId, number>;

function edgeOf(placeId: PlaceId, atlas: Atlas, passed: PassedOver): Position | undefined {
  const place = atlas.places.get(placeId);
  if (!place || place.thingId === null) return undefined;
  return atlas.history.get(place.thingId)?.[passed.get(placeId) ?? 0];
}

function outerOf(placeId: PlaceId, atlas: Atlas, passed: PassedOver): PlaceId | null {
  const place = atlas.places.get(placeId);
  if (!place) return null;
  if (place.thingId === null) return place.parentId;
  return edgeOf(placeId, atlas, passed)?.placeId ?? null;
}

/** Walks outwards; where the walk meets itself, `loop` holds the places of the loop. */
function walk(placeId: PlaceId, atlas: Atlas, passed: PassedOver): { path: PlaceId[]; loop: PlaceId[] } {
  const path: PlaceId[] = [];
  const seen = new Map<PlaceId, number>();
  for (let here: PlaceId | null = placeId; here !== null; here = outerOf(here, atlas, passed)) {
    const before = seen.get(here);
    if (before !== undefined) return { path, loop: path.slice(before) };
    seen.set(here, path.length);
    path.push(here);
  }
  return { path, loop: [] };
}

function passOverLatest(loop: readonly PlaceId[], atlas: Atlas, passed: PassedOver): boolean {
  const edges = loop.flatMap((placeId) => {
    const edge = edgeOf(placeId, atlas, passed);
    return edge ? [{ placeId, at: edge.at, id: edge.movementId }] : [];
  });
  const latest = edges.sort(compareLines).at(-1);
  if (!latest) return false;
  passed.set(latest.placeId, (passed.get(latest.placeId) ?? 0) + 1);
  return true;
}

// A loop can only be undone at one of its own edges, and loops of a place-to-one-place walk never share an edge. So the
// result does not depend on where the walk begins or on which loop is met first.
function settle(placeId: PlaceId, atlas: Atlas, passed: PassedOver): PlaceId[] {
  for (;;) {
    const { path, loop } = walk(placeId, atlas, passed);
    // Fixed parents that form a loop are refused when they are written; should they exist, the walk ends there.
    if (loop.length === 0 || !passOverLatest(loop, atlas, passed)) return path;
  }
}

/**
 * The places around a place, itself first, outwards, ending where nothing more is known. In a loop of containers the
 * latest edge by (at, id) is passed over and its container counts as at its previous destination (nowhere when it had
 * none), until no loop is left.
 */
export function chainOf(placeId: PlaceId, atlas: Atlas): readonly PlaceId[] {
  return settle(placeId, atlas, new Map());
}

export interface Loop {
  readonly containerId: PlaceId;
  /** The move that closes the loop: shown as the conflict. */
  readonly passedOver: Position;
  /** Where the container counts as being instead; null when nothing earlier is known. */
  readonly countsAt: PlaceId | null;
}

/** Every container whose latest move closes a loop, sorted by container id. */
export function loopsIn(atlas: Atlas): readonly Loop[] {
  const passed: PassedOver = new Map();
  for (const place of atlas.places.values()) {
    if (place.thingId !== null) settle(place.id, atlas, passed);
  }
  return [...passed.keys()].sort().flatMap((containerId) => {
    const passedOver = edgeOf(containerId, atlas, new Map());
    return passedOver ? [{ containerId, passedOver, countsAt: outerOf(containerId, atlas, passed) }] : [];
  });
}

/** Would this thing, put there, be inside itself? The phone refuses such a move; the service records it (law 7). */
export function wouldLoop(thingId: ThingId, toId: PlaceId, atlas: Atlas): boolean {
  return chainOf(toId, atlas).some((placeId) => atlas.places.get(placeId)?.thingId === thingId);
}
