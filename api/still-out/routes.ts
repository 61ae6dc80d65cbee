// Still out there over HTTP, and that somebody was asked for it.
import { z } from 'zod';
import { askingFactsSchema, askingSchema } from '#domain/asking.ts';
import { plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { outLineSchema } from '#domain/out-line.ts';
import { partySchema } from '#domain/party.ts';
import { cursorOf, pageQueryOf, pageSchemaOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { answerKept } from '../record/record-routes.ts';
import { askingCursorSchema, keepAsking, readAskings } from './askings.ts';
import { readStillOut } from './read-still-out.ts';

const tag = 'Still out there';
/** The desk is the owner's until there are people with rights of their own; then this follows who asks. */
const SEES_VALUES = true;

const list = defineRoute({
  method: 'get',
  path: '/api/still-out',
  summary: 'Everything not found yet, left, lent, with somebody or overdue, the most urgent first.',
  tag,
  answers: {
    200: z.strictObject({
      seesValues: z.boolean(),
      lines: z.array(outLineSchema),
      parties: z.array(partySchema),
    }),
  },
  handle: async (_given, { connections, clock }) => ({
    status: 200,
    body: await readStillOut(connections.sql, clock(), SEES_VALUES),
  }),
});

const askings = defineRoute({
  method: 'get',
  path: '/api/askings',
  summary: 'Who was asked for what, the latest first, page by page',
  tag,
  query: z.strictObject({ ...pageQueryOf(askingCursorSchema), thing: thingIdSchema.optional() }),
  answers: { 200: pageSchemaOf('askings', askingSchema) },
  handle: async ({ query }, { connections: { sql } }) => {
    const { askings: shown, next } = await readAskings(sql, query);
    return { status: 200, body: { askings: shown, next: cursorOf(next) } };
  },
});

const ask = defineRoute({
  method: 'put',
  path: '/api/askings/{id}',
  summary: 'Keeps that somebody was asked for a thing, under an id of yours; a repeat is harmless',
  tag,
  params: z.strictObject({ id: plainIdSchema }),
  body: askingFactsSchema,
  answers: { 200: askingSchema, 201: askingSchema },
  refusals: ['unknown-reference', 'id-reused'],
  handle: async ({ params: { id }, body }, { connections: { sql }, clock }) =>
    answerKept(await keepAsking(sql, id, body, clock()), `/api/askings/${id}`),
});

export const stillOutRoutes: readonly Route[] = [list, askings, ask];
