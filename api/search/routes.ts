// The search over HTTP.

import { z } from 'zod';
import { cleanText } from '#domain/movement.ts';
import { placeSchema } from '#domain/place.ts';
import { thingSchema } from '#domain/thing.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { HITS_MAX, MATCHES, searchRecord } from './search.ts';

const QUESTION_LENGTH_MAX = 200;
const match = z.enum(MATCHES);
const hitSchema = z.union([
  z.strictObject({ match, thing: thingSchema, place: z.null() }),
  z.strictObject({ match, thing: z.null(), place: placeSchema }),
]);

export const searchRoutes: readonly Route[] = [
  defineRoute({
    method: 'get',
    path: '/api/search',
    summary: `Things and places by any part of name, maker, model, serial, tag; forgives typing errors; at most ${HITS_MAX}`,
    tag: 'Search',
    query: z.strictObject({ q: cleanText(QUESTION_LENGTH_MAX) }),
    answers: { 200: z.strictObject({ hits: z.array(hitSchema) }) },
    handle: async ({ query }, { connections: { sql } }) => ({
      status: 200,
      body: { hits: await searchRecord(sql, query.q) },
    }),
  }),
];
