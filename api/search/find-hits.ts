// Which things and places a question means, as ids with how well each fits. One statement for all that is sure, one more
// for what is only spelt like it.
import type postgres from 'postgres';
import { fold, searchWords } from '#domain/fold.ts';
import type { SEARCH_KINDS, SEARCH_ORDERS } from '#domain/search-hit.ts';
import { type ThingFilter, whereThings } from '../things/list-things.ts';

/**
 * How alike a stretch of the text must be to what was typed, 0 to 1: tried one after the other until something is found,
 * because with the last nearly everything is looked at. Where something is sure, without the last.
 */
const ALIKE_LEAST = [0.6, 0.45, 0.3] as const;
/** What is far less like it than the best is noise: this share of the best's likeness is the least. */
const ALIKE_SHARE_MIN = 0.7;
/** Where more than this are alike, the text says too little for the best to be told from the rest. */
const ALIKE_MAX = 4_000;
/** Shorter texts are like too much to mean anything. */
const ALIKE_LENGTH_MIN = 3;
/** A shorter part is in nearly every code; only the whole code is meant then. */
const CODE_PART_LENGTH_MIN = 3;
const CODES_MAX = 500;
/** So many are counted; of more it is said that they are more. */
export const COUNTED_MAX = 10_000;

export interface Question {
  readonly text: string;
  readonly kind?: (typeof SEARCH_KINDS)[number] | undefined;
  readonly filter: Omit<ThingFilter, 'kind' | 'text' | 'faulty'>;
  /** Only these things; null asks for all. */
  readonly among: readonly string[] | null;
  readonly order: (typeof SEARCH_ORDERS)[number];
  readonly skip: number;
  readonly limit: number;
}
export interface Found {
  readonly thingId: string | null;
  readonly placeId: string | null;
  /** 0 its code, 1 begins so, 2 has it in it, 3 is like it, 4 is only listed. */
  readonly rank: number;
}
interface CodeHit extends Found {
  readonly id: string;
}

/** A code as it is kept, whatever stands between its characters on the label. */
function codeText(text: string): string {
  return text.toUpperCase().replace(/[\s-]/gu, '');
}

function escapeLike(text: string): string {
  return text.replace(/[\\%_]/gu, '\\$&');
}

async function findCodes(tx: postgres.ISql, text: string): Promise<readonly CodeHit[]> {
  const code = codeText(text);
  if (code === '') return [];
  const whole = [...new Set([code, text, text.toUpperCase()])];
  const named = tx`coalesce(thing_id, place_id) as id, thing_id as "thingId", place_id as "placeId"`;
  if (code.length < CODE_PART_LENGTH_MIN)
    return tx<CodeHit[]>`
      select ${named}, 0 as rank from code where until is null and code = any(${whole}) order by code, id`;
  return tx<CodeHit[]>`
    select ${named}, case when upper(code) = any(${whole}) then 0
        when upper(code) like ${`${escapeLike(code)}%`} then 1 else 2 end as rank
    from code
    where until is null and (upper(code) like ${`%${escapeLike(code)}%`} or code = any(${whole}))
    order by rank, code, id limit ${CODES_MAX}`;
}

/** The filters of things as one condition on `thing t`. */
function passes(tx: postgres.ISql, { kind, filter, among }: Question) {
  const kindOfThing = kind === 'place' ? undefined : kind;
  const { where } = whereThings(tx, { ...filter, kind: kindOfThing });
  return among === null ? where : tx`${where} and t.id = any(${[...among]}::uuid[])`;
}

/** Whether places are asked for, too: a place has no class, no owner and no faults. */
function asksForPlaces({ kind, filter, among }: Question): boolean {
  const asksOfThings = among !== null || Object.values(filter).some((value) => value !== undefined);
  return !asksOfThings && (kind === undefined || kind === 'place');
}

function rankOf(tx: postgres.ISql, row: postgres.Fragment, folded: string, codes: readonly CodeHit[]) {
  const begins = tx`${row}.folded like ${`${folded}%`}`;
  const named = folded === '' ? tx`2` : tx`case when ${begins} then 1 else 2 end`;
  if (codes.length === 0) return named;
  const ids = codes.map(({ id }) => id);
  const ranks = codes.map(({ rank }) => rank);
  return tx`least(${named}, case when ${row}.id = any(${ids}::uuid[]) then (
    select min(r) from unnest(${ids}::uuid[], ${ranks}::int[]) as c (i, r) where c.i = ${row}.id) end)`;
}

/** Each word that was typed stands somewhere in what the row is known by. */
function holdsWords(tx: postgres.ISql, row: postgres.Fragment, folded: string) {
  const words = searchWords(folded).map((word) => tx`${row}.folded like ${`%${word}%`}`);
  return words.reduce((all, word) => tx`${all} and ${word}`, tx`true`);
}

/** Rows of `thing t` or `place p` whose words hold each word that was typed, and those that a code names. */
function meant(tx: postgres.ISql, row: postgres.Fragment, folded: string, codes: readonly CodeHit[]) {
  const holds = holdsWords(tx, row, folded);
  const coded = tx`${row}.id = any(${codes.map(({ id }) => id)}::uuid[])`;
  if (folded === '') return coded;
  return codes.length === 0 ? holds : tx`((${holds}) or ${coded})`;
}

const ORDERS = {
  fit: (tx: postgres.ISql) => tx`rank, name, id`,
  name: (tx: postgres.ISql) => tx`name, id`,
  value: (tx: postgres.ISql) => tx`(
    select v.amount_minor from replacement_value v where v.thing_id = found."thingId"
    order by v.on_date desc, v.id desc limit 1) desc nulls last, name, id`,
  'put-down': (tx: postgres.ISql) => tx`(
    select x.at from position x where x.thing_id = found."thingId") desc nulls last, name, id`,
} as const;

/** All that is sure, one page of it, with how many there are. */
async function findSure(tx: postgres.ISql, question: Question, codes: readonly CodeHit[]) {
  const folded = fold(question.text);
  const isListing = question.text.trim() === '';
  const [t, p] = [tx`t`, tx`p`];
  const things = isListing
    ? tx`select t.id as "thingId", null::uuid as "placeId", 4 as rank, t.name, t.id from thing t where ${passes(tx, question)}`
    : tx`select t.id as "thingId", null::uuid as "placeId", ${rankOf(tx, t, folded, codes)} as rank, t.name, t.id
        from thing t where ${passes(tx, question)} and ${meant(tx, t, folded, codes)}`;
  const places = isListing
    ? tx`select null::uuid as "thingId", p.id as "placeId", 4 as rank, p.name, p.id from place p where p.thing_id is null`
    : tx`select null::uuid as "thingId", p.id as "placeId", ${rankOf(tx, p, folded, codes)} as rank, p.name, p.id
        from place p where p.thing_id is null and ${meant(tx, p, folded, codes)}`;
  const parts = question.kind === 'place' ? places : tx`${things} union all ${places}`;
  const found = asksForPlaces(question) ? parts : things;
  // Two statements sent together: numbering every row beside the page would keep all of them.
  const [rows, [counted]] = await Promise.all([
    tx<Found[]>`
      select "thingId", "placeId", rank from (${found}) found
      order by ${ORDERS[question.order](tx)} limit ${question.limit} offset ${question.skip}`,
    tx<{ all: number }[]>`
      select count(*)::int as all from (select from (${found}) found limit ${COUNTED_MAX}) counted`,
  ]);
  return { rows, all: counted?.all ?? 0 };
}

/** What is only like what was typed: letters swapped, doubled or left out. */
async function findAlike(tx: postgres.TransactionSql, question: Question, least: number): Promise<Found[]> {
  const folded = fold(question.text);
  // What holds the words is found already, and would be the best of all that is alike.
  const alike = (row: postgres.Fragment) =>
    tx`${folded} <% ${row}.folded and not (${holdsWords(tx, row, folded)})`;
  const likeness = tx`word_similarity(${folded}, folded) as likeness`;
  const things = tx`
    select t.id as "thingId", null::uuid as "placeId", 3 as rank, ${likeness}, t.id from thing t
    where ${alike(tx`t`)} and ${passes(tx, question)} limit ${ALIKE_MAX}`;
  const places = tx`
    select null::uuid as "thingId", p.id as "placeId", 3 as rank, ${likeness}, p.id from place p
    where p.thing_id is null and ${alike(tx`p`)} limit ${ALIKE_MAX}`;
  const parts = question.kind === 'place' ? places : tx`(${things}) union all (${places})`;
  await tx`select set_config('pg_trgm.word_similarity_threshold', ${String(least)}, true)`;
  return tx<Found[]>`
    select "thingId", "placeId", rank from (
      select x.*, max(likeness) over () as best from (${asksForPlaces(question) ? parts : things}) x) y
    where likeness >= best * ${ALIKE_SHARE_MIN}::float8 order by likeness desc, id limit ${question.limit}`;
}

async function findFirstAlike(
  tx: postgres.TransactionSql,
  question: Question,
  isSure: boolean,
): Promise<readonly Found[]> {
  if (fold(question.text).length < ALIKE_LENGTH_MIN) return [];
  for (const least of isSure ? ALIKE_LEAST.slice(0, -1) : ALIKE_LEAST) {
    const found = await findAlike(tx, question, least);
    if (found.length > 0) return found;
  }
  return [];
}

/**
 * One page of what is meant, best first, and how many there are. What is only alike is added where all that is sure
 * fits on the first page: it is there to forgive typing errors, not to be leafed through.
 */
export async function findHits(
  tx: postgres.TransactionSql,
  question: Question,
): Promise<{ readonly found: readonly Found[]; readonly all: number }> {
  const codes = await findCodes(tx, question.text.trim());
  const { rows: sure, all } = await findSure(tx, question, codes);
  if (question.skip > 0 || all >= question.limit || question.text.trim() === '') return { found: sure, all };
  const known = new Set(sure.map(({ thingId, placeId }) => thingId ?? placeId));
  const alike = await findFirstAlike(tx, question, sure.length > 0);
  const more = alike.filter(({ thingId, placeId }) => !known.has(thingId ?? placeId));
  const found = [...sure, ...more].slice(0, question.limit);
  return { found, all: found.length };
}
