// Finds things and places by any part of what they are known by, in any script, forgiving typing errors.
import type postgres from 'postgres';
import { placeIdSchema, thingIdSchema } from '#domain/ids.ts';
import { MATCHES, type SearchHit } from '#domain/search-hit.ts';
import { readPlaces } from '../places/store.ts';
import { readThings } from '../things/store.ts';
import { COUNTED_MAX, type Found, findHits, type Question } from './find-hits.ts';
import { readFoundAt } from './read-found-at.ts';

export interface SearchPage {
  readonly hits: readonly SearchHit[];
  readonly all: number;
  /** How many to pass over for the next page; null after the last. */
  readonly next: number | null;
}

async function readHits(tx: postgres.ISql, found: readonly Found[]): Promise<SearchHit[]> {
  const thingIds = found.flatMap(({ thingId }) => (thingId === null ? [] : [thingIdSchema.parse(thingId)]));
  const placeIds = found.flatMap(({ placeId }) => (placeId === null ? [] : [placeIdSchema.parse(placeId)]));
  const [things, places, at] = await Promise.all([
    readThings(tx, thingIds),
    readPlaces(tx, placeIds),
    readFoundAt(tx, thingIds, placeIds),
  ]);
  const thingOf = new Map(things.map((thing) => [String(thing.id), thing]));
  const placeOf = new Map(places.map((place) => [String(place.id), place]));
  return found.flatMap(({ thingId, placeId, rank }): SearchHit[] => {
    const match = MATCHES[rank] ?? 'alike';
    const where = [...(at.get(thingId ?? placeId ?? '') ?? [])];
    const thing = thingOf.get(thingId ?? '');
    if (thing !== undefined) return [{ match, thing, place: null, at: where }];
    const place = placeOf.get(placeId ?? '');
    return place === undefined ? [] : [{ match, thing: null, place, at: where }];
  });
}

/**
 * One page of what the question may mean, best first: an exact code, then what begins with the text, what holds all its
 * words somewhere, and what is only like it. A vehicle or a container is found once, as the thing that it is; an entry
 * that was merged into another is not found. Things that are written off are, because somebody may look for one.
 */
export async function searchRecord(sql: postgres.Sql, question: Question): Promise<SearchPage> {
  return sql.begin('isolation level repeatable read read only', async (tx) => {
    const { found, all } = await findHits(tx, question);
    const seen = question.skip + found.length;
    // Beyond what is counted a full page says that there may be another.
    const mayFollow = seen < all || (all === COUNTED_MAX && found.length === question.limit);
    return { hits: await readHits(tx, found), all, next: mayFollow && found.length > 0 ? seen : null };
  });
}
