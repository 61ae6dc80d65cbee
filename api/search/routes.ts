// The search over HTTP.
import type postgres from 'postgres';
import { z } from 'zod';
import { placeIdSchema, plainIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { SEARCH_KINDS, SEARCH_MATTERS, SEARCH_ORDERS, searchAnswerSchema } from '#domain/search-hit.ts';
import { whoseSchema } from '#domain/thing.ts';
import { cursorOf, pageQueryOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { readOpenMatters } from '../places/open-matters.ts';
import { searchRecord } from './search.ts';

const HITS_USUAL = 50;
const HITS_MAX = 500;
const QUESTION_LENGTH_MAX = 200;
// Nobody leafs further; whoever wants all of a large outfit has the lists.
const SKIP_MAX = 100_000;

const query = z.strictObject({
  ...pageQueryOf(z.strictObject({ skip: z.int().min(0).max(SKIP_MAX) })),
  limit: z.coerce.number().int().min(1).max(HITS_MAX).default(HITS_USUAL),
  q: cleanText(QUESTION_LENGTH_MAX),
  kind: z.enum(SEARCH_KINDS).optional(),
  class: plainIdSchema.optional(),
  whose: whoseSchema.optional(),
  place: placeIdSchema.optional(),
  matter: z.enum(SEARCH_MATTERS).optional(),
  writtenOff: z
    .enum(['true', 'false'])
    .transform((text) => text === 'true')
    .optional(),
  order: z.enum(SEARCH_ORDERS).default('fit'),
});
type Query = z.infer<typeof query>;

async function readAmong(sql: postgres.Sql, { matter }: Query, now: number): Promise<string[] | null> {
  if (matter === undefined) return null;
  const matters = await readOpenMatters(sql, now);
  return matters.filter((open) => open.matter === matter).map(({ thingId }) => thingId);
}

/** Nothing typed and nothing chosen asks for nothing. */
function asksNothing({ q, kind, class: inClass, whose, place, matter, writtenOff }: Query): boolean {
  const chosen = [kind, inClass, whose, place, matter, writtenOff];
  return q.trim() === '' && chosen.every((value) => value === undefined);
}

const search = defineRoute({
  method: 'get',
  path: '/api/search',
  summary:
    'Things and places by any part of name, maker, model, serial, tag, and where each is now; forgives typing errors. ' +
    'Filters narrow it; with filters and an empty text it lists what passes them',
  tag: 'Search',
  query,
  answers: { 200: searchAnswerSchema },
  handle: async ({ query: asked }, { connections: { sql }, clock }) => {
    if (asksNothing(asked)) return { status: 200, body: { hits: [], all: 0, skip: 0, next: null } };
    const { q: text, kind, order, limit, after, class: inClass, whose, place, writtenOff } = asked;
    const among = await readAmong(sql, asked, clock());
    const filter = { class: inClass, whose, place, writtenOff };
    const skip = after?.skip ?? 0;
    const page = await searchRecord(sql, { text, kind, filter, among, order, limit, skip });
    const next = page.next !== null && page.next <= SKIP_MAX ? cursorOf({ skip: page.next }) : null;
    return { status: 200, body: { ...page, skip, next } };
  },
});

export const searchRoutes: readonly Route[] = [search];
