// The list of places, each with what it is inside of now.

import type postgres from 'postgres';
import { searchWords } from '#domain/fold.ts';
import { type PlaceId, placeIdSchema } from '#domain/ids.ts';
import type { Place, PlaceKind } from '#domain/place.ts';
import type { Listed } from '../record/page.ts';
import { readPlaces } from './store.ts';

/** A place and what it is inside of now: its fixed parent, or where the vehicle or container that it is was put last. */
export type PlacedPlace = Place & {
  readonly insideId: PlaceId | null;
  /** How many things were put down right here: items, and kinds of counted things. */
  readonly things: number;
};

export interface PlaceFilter {
  readonly kind?: PlaceKind | undefined;
  readonly parent?: PlaceId | undefined;
  readonly text?: string | undefined;
}

/** The places with what each is inside of now. */
export async function readPlacedPlaces(tx: postgres.ISql, ids: readonly PlaceId[]): Promise<PlacedPlace[]> {
  const [places, placed] = await Promise.all([
    readPlaces(tx, ids),
    tx<{ id: PlaceId; insideId: PlaceId | null; things: number }[]>`
      select p.id, coalesce(p.parent_id, x.place_id) as "insideId",
        ((select count(*) from position where place_id = p.id)
          + (select count(*) from stock_level where place_id = p.id and number <> 0))::int as things
      from place p left join position x on x.thing_id = p.thing_id where p.id = any(${[...ids]}::uuid[])`,
  ]);
  const placedOf = new Map(placed.map((row) => [row.id, row]));
  return places.map((place) => {
    const row = placedOf.get(place.id);
    return { ...place, insideId: row?.insideId ?? null, things: row?.things ?? 0 };
  });
}

export async function readPlacedPlace(tx: postgres.ISql, id: string): Promise<PlacedPlace | null> {
  return (await readPlacedPlaces(tx, [placeIdSchema.parse(id)]))[0] ?? null;
}

/** The places that pass every filter given, sorted by name, id. */
export function wherePlaces(tx: postgres.ISql, filter: PlaceFilter): Listed {
  const parts = [tx`true`];
  if (filter.kind !== undefined) parts.push(tx`p.kind = ${filter.kind}`);
  if (filter.parent !== undefined) parts.push(tx`p.parent_id = ${filter.parent}`);
  for (const word of searchWords(filter.text ?? '')) parts.push(tx`p.folded like ${`%${word}%`}`);
  const where = parts.reduce((all, part) => tx`${all} and ${part}`);
  return { from: tx`place p`, where, key: tx`p.name`, id: tx`p.id` };
}
