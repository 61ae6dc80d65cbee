// All places with what each is inside of now and what is in it, in numbers: the tree, and the way from a place up to
// where it stands.
import type { PlaceId } from '#domain/ids.ts';
import { type PlaceNode, placeTreeSchema } from '#domain/where.ts';
import { type Asked, ask } from './ask.ts';
import { type Told, useAsked } from './use-answer.ts';

export type { PlaceNode } from '#domain/where.ts';

export interface Branch {
  readonly place: PlaceNode;
  readonly inside: readonly Branch[];
}

export interface Places {
  readonly byId: ReadonlyMap<string, PlaceNode>;
  readonly roots: readonly Branch[];
}

const ORDER_OF_KIND = {
  vehicle: 0,
  store: 1,
  location: 2,
  hotel: 3,
  'in-transit': 4,
  party: 5,
  compartment: 6,
  container: 7,
} as const;

/** Whether it is a vehicle or one stands in it. */
export function hasVehicle({ place, inside }: Branch): boolean {
  return place.kind === 'vehicle' || inside.some(hasVehicle);
}

// Where the vehicles are comes first; places with nothing in them come last.
function rankOf(branch: Branch): number {
  if (hasVehicle(branch)) return 0;
  return branch.place.things > 0 ? 1 : 2;
}

const compareNames = new Intl.Collator(undefined, { numeric: true }).compare;

function compareRoots(a: Branch, b: Branch): number {
  return rankOf(a) - rankOf(b) || compareBranches(a, b);
}

function compareBranches(a: Branch, b: Branch): number {
  return (
    ORDER_OF_KIND[a.place.kind] - ORDER_OF_KIND[b.place.kind] ||
    a.place.sort - b.place.sort ||
    compareNames(a.place.name, b.place.name)
  );
}

function insideOf(places: readonly PlaceNode[]): ReadonlyMap<string | null, readonly PlaceNode[]> {
  const known = new Set<string>(places.map(({ id }) => id));
  const inside = new Map<string | null, PlaceNode[]>();
  for (const place of places) {
    const outer = place.insideId !== null && known.has(place.insideId) ? place.insideId : null;
    const before = inside.get(outer);
    if (before) before.push(place);
    else inside.set(outer, [place]);
  }
  return inside;
}

/** The places as a tree. A ring that nothing resolved hangs from the top. */
export function treeOf(places: readonly PlaceNode[]): Places {
  const inside = insideOf(places);
  const grown = new Set<string>();
  const grow = (place: PlaceNode): Branch => {
    grown.add(place.id);
    const inner = (inside.get(place.id) ?? []).filter(({ id }) => !grown.has(id)).map(grow);
    return { place, inside: inner.sort(compareBranches) };
  };
  const roots = (inside.get(null) ?? []).map(grow);
  for (const place of places) if (!grown.has(place.id)) roots.push(grow(place));
  return { byId: new Map(places.map((place) => [place.id, place])), roots: roots.sort(compareRoots) };
}

/** The place and everything around it, the place first. */
export function chainFrom(id: PlaceId | string, byId: Places['byId']): readonly PlaceNode[] {
  const chain: PlaceNode[] = [];
  let at = byId.get(id);
  while (at !== undefined && !chain.includes(at)) {
    chain.push(at);
    at = at.insideId === null ? undefined : byId.get(at.insideId);
  }
  return chain;
}

async function askPlaces(path: string, signal: AbortSignal): Promise<Asked<Places>> {
  const answer = await ask(path, placeTreeSchema, { signal });
  return answer.ok ? { ...answer, body: treeOf(answer.body.places) } : answer;
}

export function usePlaces(): Told<Places> {
  return useAsked('/api/where', askPlaces);
}
