// The places that a list names, homes and owners: those that are there, cases of the list itself, and new ones.
import type { PlannedLine } from '#domain/csv/plan-lines.ts';
import { fold, foldForSearch } from '#domain/fold.ts';
import { type PlaceId, placeIdSchema } from '#domain/ids.ts';
import type { Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';
import { newId } from './new-id.ts';

type PlaceRow = {
  readonly id: PlaceId;
  readonly name: string;
  readonly kind: string;
  readonly parentId: PlaceId | null;
};
export type NewPlace = {
  readonly id: PlaceId;
  readonly name: string;
  readonly kind: string;
  readonly parent_id: PlaceId | null;
};

const keyOf = (name: string): string => fold(name) || name;

/** The path as one text, to be looked up again. */
const pathKey = (path: readonly string[]): string => JSON.stringify(path.map(keyOf));

export type Homes = {
  /** The place at the end of the path; null for no path. */
  readonly idOf: (path: readonly string[]) => PlaceId | null;
  /** The missing ones, outer before inner. */
  readonly missing: readonly NewPlace[];
};

/** Reads places by name, in the order in which one of several with the same name is taken: outer ones first. */
async function readNamed(tx: Tx, names: readonly string[]): Promise<PlaceRow[]> {
  return tx<PlaceRow[]>`
    select id, name, kind, parent_id as "parentId" from place
    where lower(name) = any(${names.map((name) => name.toLowerCase())})
    order by parent_id nulls first, sort, name, id`;
}

/** A single step: below its parent, or a case or vehicle wherever it is; a first step may be any place of that name. */
function findStep(known: readonly PlaceRow[], name: string, parent: PlaceId | null): PlaceRow | undefined {
  const named = known.filter((row) => keyOf(row.name) === keyOf(name) && row.kind !== 'party');
  if (parent === null) return named[0];
  return named.find((row) => row.parentId === parent) ?? named.find((row) => row.kind === 'container');
}

/**
 * Finds the place of every path, and says what is missing: a store for a first name (a compartment of the vehicle `aboard`,
 * where one is named, but for the place where things without a home arrive), a compartment below it for the next. `cases`
 * are things of the list itself whose name is a home in it: they are containers, and come before a new place.
 */
export async function findHomes(
  tx: Tx,
  paths: readonly (readonly string[])[],
  given: {
    readonly cases: ReadonlyMap<string, PlaceId>;
    readonly aboard: PlaceId | null;
    readonly arriveAt: string;
    readonly now: number;
  },
): Promise<Homes> {
  const { cases, aboard, arriveAt, now } = given;
  const known = await readNamed(tx, [...new Set(paths.flat())]);
  const byFoldedName = new Map<string, PlaceRow[]>();
  for (const row of known)
    byFoldedName.set(keyOf(row.name), [...(byFoldedName.get(keyOf(row.name)) ?? []), row]);
  const ids = new Map<string, PlaceId>();
  const made: NewPlace[] = [];
  for (const path of paths) {
    let parent: PlaceId | null = null;
    for (let length = 1; length <= path.length; length += 1) {
      const key = pathKey(path.slice(0, length));
      const name = path[length - 1] ?? '';
      const before: PlaceId | undefined =
        ids.get(key) ??
        findStep(byFoldedName.get(keyOf(name)) ?? [], name, parent)?.id ??
        cases.get(keyOf(name));
      const id: PlaceId = before ?? placeIdSchema.parse(newId(now));
      if (before === undefined) {
        const outer: PlaceId | null = parent ?? (keyOf(name) === keyOf(arriveAt) ? null : aboard);
        made.push({ id, name, kind: outer === null ? 'store' : 'compartment', parent_id: outer });
      }
      ids.set(key, id);
      parent = id;
    }
  }
  return { idOf: (path) => (path.length === 0 ? null : (ids.get(pathKey(path)) ?? null)), missing: made };
}

/** Adds places, outer ones before inner ones or with them. */
export async function insertPlaces(tx: Tx, places: readonly NewPlace[]): Promise<void> {
  if (places.length === 0) return;
  const rows = places.map((place) => ({ ...place, folded: foldForSearch([place.name]) }));
  await tx`
    insert into place (id, name, kind, parent_id, folded)
    select id, name, kind, parent_id, folded from jsonb_to_recordset(${tx.json(rows)})
      as p (id uuid, name text, kind text, parent_id uuid, folded text)`;
  await noteChanges(
    tx,
    places.map(({ id }) => ({ kind: 'place', ref: id })),
  );
}

/**
 * Items of the list that other lines name as their home, by name: the list's own cases. A name that is a place already is
 * not among them, nor is one that two lines have.
 */
export async function findCases(tx: Tx, lines: readonly PlannedLine[]): Promise<ReadonlySet<number>> {
  const homes = new Set(lines.flatMap(({ facts }) => facts.home.map(keyOf)));
  const items = new Map<string, PlannedLine | null>();
  for (const line of lines) {
    const key = keyOf(line.facts.name);
    if (line.does !== 'makes-item' || !homes.has(key)) continue;
    items.set(key, items.has(key) ? null : line);
  }
  const taken = new Set(
    (
      await readNamed(
        tx,
        [...items.values()].flatMap((line) => line?.facts.name ?? []),
      )
    ).map((row) => keyOf(row.name)),
  );
  return new Set([...items].flatMap(([key, line]) => (line === null || taken.has(key) ? [] : [line.row])));
}

const ROLE_OF_WHOSE: Readonly<Record<string, string>> = { client: 'client', 'rented-in': 'rental-house' };

/** The parties that own what is not ours, made where they are missing. */
export async function findOwners(tx: Tx, lines: readonly PlannedLine[], now: number): Promise<Homes> {
  const named = new Map(
    lines.flatMap(({ facts }) => (facts.ownerName === null ? [] : [[facts.ownerName, facts.whose] as const])),
  );
  const known = (await readNamed(tx, [...named.keys()])).filter((row) => row.kind === 'party');
  const ids = new Map(known.map((row) => [keyOf(row.name), row.id]));
  const made: (NewPlace & { readonly role: string })[] = [];
  for (const [name, whose] of named) {
    if (ids.has(keyOf(name))) continue;
    const id = placeIdSchema.parse(newId(now));
    ids.set(keyOf(name), id);
    made.push({ id, name, kind: 'party', parent_id: null, role: ROLE_OF_WHOSE[whose] ?? 'other' });
  }
  await insertPlaces(
    tx,
    made.map(({ role: _role, ...place }) => place),
  );
  if (made.length > 0)
    await tx`insert into party ${tx(made.map(({ id, role }) => ({ place_id: id, role })))}`;
  return {
    idOf: ([name]) => (name === undefined ? null : (ids.get(keyOf(name)) ?? null)),
    missing: made,
  };
}
