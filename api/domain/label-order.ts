// Home order: labels come off the sheet in the order in which a person walks along the shelves and drawers to stick them on.
import type { PlaceId, ThingId } from './ids.ts';
import type { PlaceKind } from './place.ts';

export interface HomePlace {
  readonly id: PlaceId;
  readonly name: string;
  readonly kind: PlaceKind;
  readonly sort: number;
  /** Its fixed parent, or for a vehicle or a container where that lives. */
  readonly outerId: PlaceId | null;
}

export interface Homed {
  readonly id: ThingId | PlaceId;
  readonly name: string;
  /** Where it lives; null: nobody has said. A place's own label lies at the place. */
  readonly homeId: PlaceId | null;
}

const RANK_OF_KIND: Readonly<Record<PlaceKind, number>> = {
  vehicle: 0,
  store: 1,
  location: 2,
  hotel: 3,
  'in-transit': 4,
  party: 5,
  compartment: 6,
  container: 7,
};

type Step = readonly [rank: number, sort: number, name: string, id: string];

/** By code point, so that desk and service agree whatever their locale. */
const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

function compareSteps(a: Step, b: Step): number {
  return a[0] - b[0] || a[1] - b[1] || compareText(a[2], b[2]) || compareText(a[3], b[3]);
}

function comparePaths(a: readonly Step[], b: readonly Step[]): number {
  for (let at = 0; ; at += 1) {
    const [left, right] = [a[at], b[at]];
    if (left === undefined || right === undefined) return a.length - b.length;
    const order = compareSteps(left, right);
    if (order !== 0) return order;
  }
}

/** The way from outermost in. Places that are said to be in each other end where the ring closes. */
function pathTo(
  id: PlaceId | null,
  places: ReadonlyMap<string, HomePlace>,
): readonly { readonly step: Step; readonly place: HomePlace }[] {
  const path: { step: Step; place: HomePlace }[] = [];
  const seen = new Set<string>();
  for (let place = id === null ? undefined : places.get(id); place !== undefined && !seen.has(place.id); ) {
    seen.add(place.id);
    path.unshift({ step: [RANK_OF_KIND[place.kind], place.sort, place.name, place.id], place });
    place = place.outerId === null ? undefined : places.get(place.outerId);
  }
  return path;
}

/** Things right in a place come before the compartments and containers inside it. */
const THING_RANK = -1;

export interface InHome<T> {
  readonly homed: T;
  /** Where it lives, the outermost first. */
  readonly path: readonly PlaceId[];
}

/**
 * The same records in home order: along the tree of homes as the desk shows it (vehicles before stores, then by `sort`, name
 * and id), a place before what is in it, things before the compartments beside them, a container before its contents.
 * What has no home comes last, by name and id.
 */
export function inHomeOrder<T extends Homed>(
  records: readonly T[],
  places: readonly HomePlace[],
): readonly InHome<T>[] {
  const byId = new Map<string, HomePlace>(places.map((place) => [place.id, place]));
  const keyed = records.map((homed) => {
    const own = byId.get(homed.id);
    const path = pathTo(own?.id ?? homed.homeId, byId);
    const steps = path.map(({ step }) => step);
    const leaf: Step = [THING_RANK, 0, homed.name, homed.id];
    const around = own === undefined ? path : path.slice(0, -1);
    return {
      homed,
      path: around.map(({ place }) => place.id),
      key: own === undefined ? [...steps, leaf] : steps,
      isHomeless: path.length === 0,
    };
  });
  return keyed
    .sort((a, b) => Number(a.isHomeless) - Number(b.isHomeless) || comparePaths(a.key, b.key))
    .map(({ homed, path }) => ({ homed, path }));
}
