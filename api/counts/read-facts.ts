// Reads what rules need to know of some things: their book, their records, and every place around them.
import type postgres from 'postgres';
import type { Book } from '#domain/book.ts';
import { type PlaceId, placeIdSchema, type ThingId, thingIdSchema } from '#domain/ids.ts';
import type { Place } from '#domain/place.ts';
import type { Thing, ThingClass } from '#domain/thing.ts';
import { readClasses } from '../classes/store.ts';
import { readBook } from '../movements/read-book.ts';
import { outwardsFixed } from '../places/inside.ts';
import { readPlaces } from '../places/store.ts';
import { readThings } from '../things/store.ts';

export interface Facts {
  readonly book: Book;
  readonly places: ReadonlyMap<PlaceId, Place>;
  readonly things: ReadonlyMap<ThingId, Thing>;
  readonly classes: ReadonlyMap<string, ThingClass>;
}

export interface FactsAsked {
  readonly since: number;
  readonly things: readonly string[];
  readonly stopId?: string;
}

/** A chain of containers is never this long; a loop of them ends the reading. */
const CONTAINERS_DEEP_MAX = 12;

function placesNamed(book: Book): readonly string[] {
  const ofLines = book.lines.flatMap((line) => [
    'toId' in line ? line.toId : null,
    'fromId' in line ? line.fromId : null,
    line.kind === 'open' ? line.vehicleId : null,
  ]);
  const named = [
    ...book.base.map((row) => row.placeId),
    ...book.levels.map((row) => row.placeId),
    ...ofLines,
  ];
  return [...new Set(named.filter((id) => id !== null))];
}

/** The places and all places that hold them by a fixed parent. */
async function readOutwards(sql: postgres.ISql, ids: readonly string[]): Promise<Place[]> {
  const rows = await sql<{ id: string }[]>`${outwardsFixed(sql, ids)}`;
  return readPlaces(
    sql,
    rows.map((row) => placeIdSchema.parse(row.id)),
  );
}

const mapById = <K extends string, T extends { readonly id: K }>(records: readonly T[]): ReadonlyMap<K, T> =>
  new Map(records.map((record) => [record.id, record]));

/** The facts of these things and of the containers and vehicles that they are in, as far out as it goes. */
export async function readFacts(sql: postgres.ISql, asked: FactsAsked): Promise<Facts> {
  const ids = new Set(asked.things);
  for (let deep = 0; ; deep += 1) {
    const book = await readBook(sql, { ...asked, things: [...ids] });
    const things = await readThings(
      sql,
      [...ids].map((id) => thingIdSchema.parse(id)),
    );
    const homes = things.flatMap((thing) => thing.homes.map((home) => home.placeId));
    const places = await readOutwards(sql, [...placesNamed(book), ...homes]);
    const around = places.flatMap(({ thingId }) => (thingId === null || ids.has(thingId) ? [] : [thingId]));
    if (around.length === 0 || deep === CONTAINERS_DEEP_MAX) {
      return {
        book,
        places: mapById(places),
        things: mapById(things),
        classes: mapById(await readClasses(sql, 'all')),
      };
    }
    for (const id of around) ids.add(id);
  }
}
