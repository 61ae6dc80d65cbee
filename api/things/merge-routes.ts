// Two entries that are one thing, over HTTP: making them one, and taking that back.
import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import { thingIdSchema } from '#domain/ids.ts';
import { mergeAskedSchema, mergeSchema } from '#domain/merge.ts';
import { thingSchema } from '#domain/thing.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { answerKept, answerOne } from '../record/record-routes.ts';
import { mergeThings } from './merge-things.ts';
import { readThings } from './store.ts';
import { takeBackMerge } from './take-back-merge.ts';

const path = '/api/things/{id}/merge';
const tag = 'Things';
const params = z.strictObject({ id: thingIdSchema });

const merge = defineRoute({
  method: 'post',
  path,
  summary:
    'This entry is the same thing as another one, which stays: history, codes, pictures and prices go over to it',
  tag,
  params,
  body: mergeAskedSchema,
  answers: { 200: mergeSchema, 201: mergeSchema },
  refusals: [
    ...([
      'not-found',
      'unknown-reference',
      'merge-into-itself',
      'merged-already',
      'others-merged-into-it',
    ] as const),
    ...(['already-written-off', 'not-alike', 'still-in-use', 'id-reused'] as const),
  ],
  handle: async ({ params: { id: thingId }, body: { into, id } }, { connections: { sql }, clock }) => {
    const asked = { id: id ?? randomUUID(), thingId, intoId: into, now: clock() };
    return answerKept(await mergeThings(sql, asked), `/api/things/${into}`);
  },
});

const takeBack = defineRoute({
  method: 'delete',
  path,
  summary: 'The two are two after all: the entry is its own again, with what it had',
  tag,
  params,
  answers: { 200: thingSchema },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql }, clock }) => {
    const back = await takeBackMerge(sql, id, clock());
    if ('refusal' in back) return back;
    return answerOne((await readThings(sql, [id]))[0] ?? null);
  },
});

export const mergeRoutes: readonly Route[] = [merge, takeBack];
