// How a thing was answered for at the last wraps, over HTTP.
import { z } from 'zod';
import { thingIdSchema } from '#domain/ids.ts';
import { wrapCheckSchema } from '#domain/thing-checks.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { readChecks } from './read-checks.ts';

const list = defineRoute({
  method: 'get',
  path: '/api/things/{id}/checks',
  summary: 'How the thing was answered for at the last wraps, as their counts were closed; the latest first',
  tag: 'Things',
  params: z.strictObject({ id: thingIdSchema }),
  answers: { 200: z.strictObject({ checks: z.array(wrapCheckSchema) }) },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql } }) => {
    const checks = await readChecks(sql, id);
    return checks === null ? { refusal: { kind: 'not-found' } } : { status: 200, body: { checks } };
  },
});

export const checkRoutes: readonly Route[] = [list];
