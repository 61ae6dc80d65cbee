// Stops over HTTP: made anywhere, also with no network, and named, booked and ended later.

import { z } from 'zod';
import { plainIdSchema, stopIdSchema } from '#domain/ids.ts';
import { newStopSchema, stopSchema } from '#domain/place.ts';
import { cursorOf, pageSchemaOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { editRecord, makeRecord } from '../record/keep.ts';
import { pageQuery, readPageIds } from '../record/page.ts';
import { answerKept, answerOne } from '../record/record-routes.ts';
import { stopEditKind, stopEditSchema } from './edit-stop.ts';
import { stopKind } from './keep-stop.ts';
import { readStops } from './store.ts';

const tag = 'Jobs and stops';
const params = z.strictObject({ id: stopIdSchema });

const list = defineRoute({
  method: 'get',
  path: '/api/stops',
  summary: 'The stops, the latest first, page by page',
  tag,
  query: z.strictObject({ ...pageQuery, job: plainIdSchema.optional() }),
  answers: { 200: pageSchemaOf('stops', stopSchema) },
  handle: async ({ query }, { connections: { sql } }) => {
    const where = query.job === undefined ? sql`true` : sql`job_id = ${query.job}`;
    // Digits of one length sort as their numbers do.
    const key = sql`lpad(starts_at::text, 16, '0')`;
    const listed = { from: sql`stop`, where, key, id: sql`id`, descending: true };
    const { ids, next } = await readPageIds(sql, listed, { after: query.after ?? null, limit: query.limit });
    const stops = await readStops(
      sql,
      ids.map((id) => stopIdSchema.parse(id)),
    );
    return { status: 200, body: { stops, next: cursorOf(next) } };
  },
});

const read = defineRoute({
  method: 'get',
  path: '/api/stops/{id}',
  summary: 'One stop',
  tag,
  params,
  answers: { 200: stopSchema },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql } }) => answerOne(await stopKind.readOne(sql, id)),
});

const make = defineRoute({
  method: 'put',
  path: '/api/stops/{id}',
  summary: 'Makes a stop under an id of yours, with its new place along; the same again is a repeat',
  tag,
  params,
  body: newStopSchema,
  answers: { 200: stopSchema, 201: stopSchema },
  refusals: ['contradiction', 'unknown-reference', 'id-reused'],
  handle: async ({ params: { id }, body }, { connections: { sql } }) => {
    if (body.id !== id) {
      const fields = [{ pointer: '/id', detail: 'is not the id in the address; send the same in both' }];
      return { refusal: { kind: 'contradiction', fields } };
    }
    return answerKept(await makeRecord(sql, stopKind, id, body), `/api/stops/${id}`);
  },
});

const edit = defineRoute({
  method: 'patch',
  path: '/api/stops/{id}',
  summary: 'Names a stop, says its job, or when it ended; what is left out stays',
  tag,
  edits: true,
  params,
  body: stopEditSchema,
  answers: { 200: stopSchema },
  refusals: ['not-found', 'contradiction', 'unknown-reference'],
  handle: async ({ params: { id }, body, ifMatch }, { connections: { sql } }) =>
    answerKept(await editRecord(sql, stopEditKind, { id, ifMatch, facts: body }), `/api/stops/${id}`),
});

export const stopRoutes: readonly Route[] = [list, read, make, edit];
