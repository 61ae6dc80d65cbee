// "Look around": loads the demo outfit into a database in which there is nothing yet.
import type postgres from 'postgres';
import { z } from 'zod';
import { loadDemo } from '../../prisma/demo/load-demo.ts';
import { defineRoute, type Route } from '../http/route.ts';

const DEMO_LOCK = 843_711_207;

/** Whether nobody has entered anything; the demo outfit never mixes with somebody's own gear. */
export async function isEmpty(sql: postgres.ISql): Promise<boolean> {
  const rows = await sql`
    select from outfit union all select from thing union all select from place union all select from person limit 1`;
  return rows.count === 0;
}

const load = defineRoute({
  method: 'post',
  path: '/api/demo',
  summary: 'Loads the demo outfit into an empty database. It takes some seconds.',
  tag: 'Outfit',
  body: z.strictObject({}),
  answers: { 201: z.strictObject({}) },
  refusals: ['not-empty'],
  handle: async (_given, { connections, clock }) => {
    const { sql } = connections;
    // Two taps on the button: the second waits, and finds that it is not empty any more.
    return sql.begin(async (tx) => {
      await tx`select pg_advisory_xact_lock(${DEMO_LOCK})`;
      if (!(await isEmpty(sql))) return { refusal: { kind: 'not-empty' as const } };
      await loadDemo(connections, clock());
      return { status: 201, body: {} };
    });
  },
});

export const demoRoutes: readonly Route[] = [load];
