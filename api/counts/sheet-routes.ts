// The wrap sheet over HTTP.
import { z } from 'zod';
import { placeIdSchema, stopIdSchema } from '#domain/ids.ts';
import { wrapSheetSchema } from '#domain/wrap-sheet.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { readSheet } from './read-sheet.ts';

const sheet = defineRoute({
  method: 'get',
  path: '/api/counts/{stopId}/{round}/sheet',
  summary:
    'One page for a dead phone: what is out, what must not be lost, the compartments. Of the count as it stands, or as it would be opened now.',
  tag: 'Counts',
  params: z.strictObject({ stopId: stopIdSchema, round: z.coerce.number().int().min(1).max(999) }),
  query: z.strictObject({ vehicle: placeIdSchema.optional() }),
  answers: { 200: wrapSheetSchema },
  refusals: ['not-found', 'unknown-reference'],
  handle: async ({ params: { stopId, round }, query }, { connections, clock }) => {
    const read = await readSheet(connections.sql, { stopId, round, vehicleId: query.vehicle }, clock());
    return 'refusal' in read ? read : { status: 200, body: read.sheet };
  },
});

export const sheetRoutes: readonly Route[] = [sheet];
