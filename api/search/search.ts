// Finds things and places by any part of what they are known by, in any script, forgiving typing errors.

import type postgres from 'postgres';
import { fold, searchWords } from '#domain/fold.ts';
import { placeIdSchema, thingIdSchema } from '#domain/ids.ts';
import type { Place } from '#domain/place.ts';
import type { Thing } from '#domain/thing.ts';
import { readPlaces } from '../places/store.ts';
import { readThings } from '../things/store.ts';

export const HITS_MAX = 50;
/** How alike a stretch of the text must be to what was typed, 0 to 1; below it everything is like everything. */
const ALIKE_MIN = 0.3;
/** What is far less like it than the best is noise: this share of the best's likeness is the least. */
const ALIKE_SHARE_MIN = 0.7;

/** Why something was found, best first: this is the order of the answer. */
export const MATCHES = ['code', 'beginning', 'part', 'alike'] as const;
export type Match = (typeof MATCHES)[number];

interface Found {
  readonly thingId: string | null;
  readonly placeId: string | null;
  readonly rank: number;
}
export type Hit =
  | { readonly match: Match; readonly thing: Thing; readonly place: null }
  | { readonly match: Match; readonly thing: null; readonly place: Place };

/** A code as it is kept, whatever stands between its characters on the label. */
function codeText(text: string): string {
  return text.toUpperCase().replace(/[\s-]/gu, '');
}

function escapeLike(text: string): string {
  return text.replace(/[\\%_]/gu, '\\$&');
}

function findByCode(tx: postgres.ISql, text: string) {
  const code = codeText(text);
  const part = `%${escapeLike(code)}%`;
  return tx<Found[]>`
    select thing_id as "thingId", place_id as "placeId",
      case when upper(code) in (${code}, ${text.toUpperCase()}) then 0 when upper(code) like ${`${escapeLike(code)}%`} then 1 else 2 end as rank
    from code where until is null and (upper(code) like ${part} or upper(code) = ${text.toUpperCase()})
    order by rank, code, id limit ${HITS_MAX}`;
}

function holdsWords(tx: postgres.ISql, folded: string): postgres.Fragment {
  return searchWords(folded).reduce((all, word) => tx`${all} and folded like ${`%${word}%`}`, tx`true`);
}

/** Everything whose words hold each word that was typed; first what begins with it. */
function findByWords(tx: postgres.ISql, folded: string) {
  const holds = holdsWords(tx, folded);
  const rank = tx`case when folded like ${`${folded}%`} then 1 else 2 end`;
  return tx<Found[]>`
    select * from (
      select id as "thingId", null::uuid as "placeId", ${rank} as rank, name, id from thing where ${holds}
      union all
      select null::uuid, id, ${rank}, name, id from place where thing_id is null and ${holds}) x
    order by rank, name, id limit ${HITS_MAX}`;
}

/** What is only like what was typed: letters swapped, doubled or left out. */
async function findAlike(tx: postgres.TransactionSql, folded: string) {
  const alike = tx`${folded} <% folded and not (${holdsWords(tx, folded)})`;
  await tx`select set_config('pg_trgm.word_similarity_threshold', ${String(ALIKE_MIN)}, true)`;
  return tx<Found[]>`
    select "thingId", "placeId", rank from (
      select x.*, max(likeness) over () as best from (
        select id as "thingId", null::uuid as "placeId", 3 as rank, word_similarity(${folded}, folded) as likeness, id
        from thing where ${alike}
        union all
        select null::uuid, id, 3, word_similarity(${folded}, folded), id
        from place where thing_id is null and ${alike}) x) y
    where likeness >= best * ${ALIKE_SHARE_MIN}::float8 order by likeness desc, id limit ${HITS_MAX}`;
}

async function findAll(tx: postgres.TransactionSql, text: string): Promise<Found[]> {
  const folded = fold(text);
  const codes = codeText(text) === '' ? [] : await findByCode(tx, text.trim());
  const words = folded === '' ? [] : await findByWords(tx, folded);
  const sure = [...codes, ...words].sort((a, b) => a.rank - b.rank);
  const alike = folded === '' || sure.length >= HITS_MAX ? [] : await findAlike(tx, folded);
  const seen = new Set<string>();
  return [...sure, ...alike]
    .filter(({ thingId, placeId }) => {
      const key = thingId ?? placeId ?? '';
      if (seen.has(key)) return false;
      seen.add(key);
      return true;
    })
    .slice(0, HITS_MAX);
}

/**
 * What the text may mean, best first and at most fifty: an exact code, then what begins with it, what holds all its
 * words somewhere, and what is only like it. A vehicle or a container is found once, as the thing that it is.
 */
export async function searchRecord(sql: postgres.Sql, text: string): Promise<Hit[]> {
  return sql.begin('isolation level repeatable read read only', async (tx) => {
    const found = await findAll(tx, text);
    const things = await readThings(
      tx,
      found.flatMap((hit) => (hit.thingId === null ? [] : thingIdSchema.parse(hit.thingId))),
    );
    const places = await readPlaces(
      tx,
      found.flatMap((hit) => (hit.placeId === null ? [] : placeIdSchema.parse(hit.placeId))),
    );
    const thingOf = new Map(things.map((thing) => [String(thing.id), thing]));
    const placeOf = new Map(places.map((place) => [String(place.id), place]));
    return found.flatMap((hit): Hit[] => {
      const match = MATCHES[hit.rank] ?? 'alike';
      const thing = thingOf.get(hit.thingId ?? '');
      if (thing !== undefined) return [{ match, thing, place: null }];
      const place = placeOf.get(hit.placeId ?? '');
      return place === undefined ? [] : [{ match, thing: null, place }];
    });
  });
}
