// Replacement values of a thing over HTTP: all that were ever given, and a new one.
import { randomBytes } from 'node:crypto';
import { z } from 'zod';
import { makeUuidV7, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { replacementValueFactsSchema, replacementValueSchema } from '#domain/worth.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { answerKept } from '../record/record-routes.ts';
import { addValue, readValues } from './keep-value.ts';

const path = '/api/things/{id}/values';
const tag = 'Things';
const params = z.strictObject({ id: thingIdSchema });

const list = defineRoute({
  method: 'get',
  path,
  summary: 'Every replacement value that was ever given for the thing, the latest first',
  tag,
  params,
  answers: { 200: z.strictObject({ values: z.array(replacementValueSchema) }) },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { prisma } }) => {
    if ((await prisma.thing.count({ where: { id } })) === 0) return { refusal: { kind: 'not-found' } };
    return { status: 200, body: { values: await readValues(prisma, id) } };
  },
});

const add = defineRoute({
  method: 'post',
  path,
  summary:
    'What the thing costs new, with the date and the source of that price; an id of yours makes a repeat harmless',
  tag,
  params,
  body: replacementValueFactsSchema.extend({ id: plainIdSchema.optional() }),
  answers: { 200: replacementValueSchema, 201: replacementValueSchema },
  refusals: ['not-found', 'merged-already', 'contradiction', 'id-reused'],
  handle: async ({ params: { id: thingId }, body: { id, ...facts } }, { connections: { sql }, clock }) => {
    const valueId = id ?? makeUuidV7(clock(), randomBytes(16));
    return answerKept(await addValue(sql, { id: valueId, thingId, facts }), `/api/things/${thingId}/values`);
  },
});

export const valueRoutes: readonly Route[] = [list, add];
