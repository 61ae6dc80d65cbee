// All places with what each is inside of now: the tree, and the way from a place up to where it stands.
import { z } from 'zod';
import { type PlaceId, placeIdSchema } from '#domain/ids.ts';
import { placeSchema } from '#domain/place.ts';
import type { Asked } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAsked } from './use-answer.ts';

const placedSchema = placeSchema.extend({ insideId: placeIdSchema.nullable(), things: z.int() });
export type PlacedPlace = z.infer<typeof placedSchema>;
const pageSchema = pageSchemaOf(placedSchema);

export interface Branch {
  readonly place: PlacedPlace;
  readonly inside: readonly Branch[];
  /** Things put down right here or in anything inside of it. */
  readonly things: number;
}

export interface Places {
  readonly byId: ReadonlyMap<string, PlacedPlace>;
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
  return branch.things > 0 ? 1 : 2;
}

function compareRoots(a: Branch, b: Branch): number {
  return rankOf(a) - rankOf(b) || compareBranches(a, b);
}

function compareBranches(a: Branch, b: Branch): number {
  return (
    ORDER_OF_KIND[a.place.kind] - ORDER_OF_KIND[b.place.kind] ||
    a.place.sort - b.place.sort ||
    a.place.name.localeCompare(b.place.name)
  );
}

function insideOf(places: readonly PlacedPlace[]): ReadonlyMap<string | null, readonly PlacedPlace[]> {
  const known = new Set<string>(places.map(({ id }) => id));
  const inside = new Map<string | null, PlacedPlace[]>();
  for (const place of places) {
    const outer = place.insideId !== null && known.has(place.insideId) ? place.insideId : null;
    inside.set(outer, [...(inside.get(outer) ?? []), place]);
  }
  return inside;
}

/** The places as a tree. Things put into each other by two phones at once make a ring, which hangs from the top. */
export function treeOf(places: readonly PlacedPlace[]): Places {
  const inside = insideOf(places);
  const grown = new Set<string>();
  const grow = (place: PlacedPlace): Branch => {
    grown.add(place.id);
    const inner = (inside.get(place.id) ?? []).filter(({ id }) => !grown.has(id)).map(grow);
    const things = inner.reduce((sum, branch) => sum + branch.things, place.things);
    return { place, inside: [...inner].sort(compareBranches), things };
  };
  const roots = (inside.get(null) ?? []).map(grow);
  for (const place of places) if (!grown.has(place.id)) roots.push(grow(place));
  return { byId: new Map(places.map((place) => [place.id, place])), roots: roots.sort(compareRoots) };
}

/** The place and everything around it, the place first. */
export function chainFrom(id: PlaceId | string, byId: Places['byId']): readonly PlacedPlace[] {
  const chain: PlacedPlace[] = [];
  let at = byId.get(id);
  while (at !== undefined && !chain.includes(at)) {
    chain.push(at);
    at = at.insideId === null ? undefined : byId.get(at.insideId);
  }
  return chain;
}

async function askPlaces(path: string, signal: AbortSignal): Promise<Asked<Places>> {
  const answer = await askAll(path, pageSchema, signal);
  return answer.ok ? { ...answer, body: treeOf(answer.body) } : answer;
}

export function usePlaces(): Told<Places> {
  return useAsked('/api/places', askPlaces);
}
