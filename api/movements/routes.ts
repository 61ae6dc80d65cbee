// The ledger over HTTP: devices write lines, anybody reads them.
import type postgres from 'postgres';
import { z } from 'zod';
import { recordedSchema } from '#domain/feed.ts';
import { placeIdSchema, plainIdSchema, stopIdSchema, thingIdSchema } from '#domain/ids.ts';
import { batchAnswerSchema, batchSchema, MOVEMENTS_PER_BATCH_MAX } from '#domain/movement.ts';
import { cursorOf, pageQueryOf } from '../http/paging.ts';
import { type Deps, defineRoute, type Route } from '../http/route.ts';
import { makeRecorder, type Recorder } from './group-commit.ts';
import { readLines, readWaitingLines } from './read-lines.ts';

// One recorder for each way to the database: what gathers together must be able to share a transaction.
const recorders = new WeakMap<postgres.Sql, Recorder>();

function recorderOf({ connections, clock }: Deps): Recorder {
  const known = recorders.get(connections.sql);
  if (known) return known;
  const made = makeRecorder(connections.sql, clock);
  recorders.set(connections.sql, made);
  return made;
}

const record = defineRoute({
  method: 'post',
  path: '/api/movements',
  summary: `Writes up to ${MOVEMENTS_PER_BATCH_MAX} lines into the ledger; each is answered by itself, in order.`,
  tag: 'Ledger',
  body: batchSchema,
  answers: { 200: batchAnswerSchema },
  handle: async ({ body }, deps) => ({ status: 200, body: { answers: await recorderOf(deps)(body) } }),
});

const place = z.strictObject({ at: z.int(), id: plainIdSchema });
const linesSchema = z.strictObject({ movements: z.array(recordedSchema), next: z.string().nullable() });

const list = defineRoute({
  method: 'get',
  path: '/api/movements',
  summary: 'The ledger, latest lines first.',
  tag: 'Ledger',
  query: z.strictObject({
    ...pageQueryOf(place),
    thing: thingIdSchema.optional(),
    place: placeIdSchema.optional(),
    stop: stopIdSchema.optional(),
    since: z.coerce.number().int().min(0).max(8_640_000_000_000_000).optional(),
  }),
  answers: { 200: linesSchema },
  handle: async ({ query }, { connections }) => {
    const { movements, next } = await readLines(connections.sql, query);
    return { status: 200, body: { movements, next: cursorOf(next) } };
  },
});

const history = defineRoute({
  method: 'get',
  path: '/api/things/{id}/history',
  summary: 'All lines of one thing, latest first.',
  tag: 'Ledger',
  params: z.strictObject({ id: thingIdSchema }),
  query: z.strictObject(pageQueryOf(place)),
  answers: { 200: linesSchema },
  handle: async ({ params, query }, { connections }) => {
    const { movements, next } = await readLines(connections.sql, { ...query, thing: params.id });
    return { status: 200, body: { movements, next: cursorOf(next) } };
  },
});

const waiting = defineRoute({
  method: 'get',
  path: '/api/movements/waiting',
  summary: 'Lines that name something not known yet, oldest first, and what each waits for.',
  tag: 'Ledger',
  answers: {
    200: z.strictObject({
      waiting: z.array(z.strictObject({ ...recordedSchema.shape, waitsFor: z.string(), ref: z.string() })),
    }),
  },
  handle: async (_given, { connections }) => ({
    status: 200,
    body: { waiting: await readWaitingLines(connections.sql) },
  }),
});

export const movementRoutes: readonly Route[] = [record, list, waiting, history];
