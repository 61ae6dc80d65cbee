// Counts over HTTP. Opening, checking and finding are lines of the ledger (POST /api/movements); closing at the desk is
// checked here against what the service knows.
import { z } from 'zod';
import { countSchema } from '#domain/count-shape.ts';
import { plainIdSchema, stopIdSchema } from '#domain/ids.ts';
import { cursorOf, pageQueryOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { closeCount } from './close-count.ts';
import { countEntrySchema, countPlaceSchema, listCounts } from './list-counts.ts';
import { readCount } from './read-count.ts';

const params = z.strictObject({ stopId: stopIdSchema, round: z.coerce.number().int().min(1).max(999) });

const list = defineRoute({
  method: 'get',
  path: '/api/counts',
  summary: 'All counts, of one stop or of one job, the unfinished ones first.',
  tag: 'Counts',
  query: z.strictObject({
    ...pageQueryOf(countPlaceSchema),
    stop: stopIdSchema.optional(),
    job: plainIdSchema.optional(),
  }),
  answers: { 200: z.strictObject({ counts: z.array(countEntrySchema), next: z.string().nullable() }) },
  handle: async ({ query }, { connections }) => {
    const { counts, next } = await listCounts(connections.sql, query);
    return { status: 200, body: { counts, next: cursorOf(next) } };
  },
});

const read = defineRoute({
  method: 'get',
  path: '/api/counts/{stopId}/{round}',
  summary: 'One count: its lines as known now, and how it was closed.',
  tag: 'Counts',
  params,
  answers: { 200: countSchema },
  refusals: ['not-found'],
  handle: async ({ params: { stopId, round } }, { connections }) => {
    const count = await readCount(connections.sql, stopId, round);
    return count === null ? { refusal: { kind: 'not-found' } } : { status: 200, body: count };
  },
});

const close = defineRoute({
  method: 'post',
  path: '/api/counts/{stopId}/{round}/close',
  summary:
    'Closes a count in which every line and every compartment has an answer. Closing it again changes nothing.',
  tag: 'Counts',
  params,
  answers: { 200: countSchema },
  refusals: ['not-found', 'lines-open'],
  handle: async ({ params: { stopId, round } }, { connections, clock }) => {
    const refusal = await closeCount(connections.sql, { stopId, round }, clock());
    if (refusal !== null) return { refusal };
    return { status: 200, body: await readCount(connections.sql, stopId, round) };
  },
});

export const countRoutes: readonly Route[] = [list, read, close];
