// Write-offs over HTTP: said by the owner, with a date and a reason.
import { randomBytes } from 'node:crypto';
import { z } from 'zod';
import { makeUuidV7, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { writeOffFactsSchema, writeOffSchema } from '#domain/worth.ts';
import { cursorOf, pageQueryOf, pageSchemaOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { answerKept } from '../record/record-routes.ts';
import { takeBackWriteOff, writeOff } from './keep-write-off.ts';
import { readWriteOffs, writeOffCursorSchema } from './store.ts';

const path = '/api/write-offs';
const tag = 'Write-offs';
const params = z.strictObject({ id: plainIdSchema });

const list = defineRoute({
  method: 'get',
  path,
  summary: 'What was written off, the latest first, page by page',
  tag,
  query: z.strictObject({ ...pageQueryOf(writeOffCursorSchema), thing: thingIdSchema.optional() }),
  answers: { 200: pageSchemaOf('writeOffs', writeOffSchema) },
  handle: async ({ query }, { connections: { prisma } }) => {
    const { records, next } = await readWriteOffs(prisma, query);
    return { status: 200, body: { writeOffs: records, next: cursorOf(next) } };
  },
});

const add = defineRoute({
  method: 'post',
  path,
  summary: 'Writes a thing off, or so many of a counted one; an id of yours makes a repeat harmless',
  tag,
  body: writeOffFactsSchema.extend({ id: plainIdSchema.optional() }),
  answers: { 200: writeOffSchema, 201: writeOffSchema },
  refusals: ['unknown-reference', 'merged-already', 'contradiction', 'already-written-off', 'id-reused'],
  handle: async ({ body: { id, ...facts } }, { connections: { sql }, clock }) => {
    const writeOffId = id ?? makeUuidV7(clock(), randomBytes(16));
    return answerKept(await writeOff(sql, writeOffId, facts), `${path}/${writeOffId}`);
  },
});

const takeBack = defineRoute({
  method: 'delete',
  path: `${path}/{id}`,
  summary: 'Takes a write-off back: the thing turned up, or was never gone',
  tag,
  params,
  answers: { 200: z.strictObject({ id: plainIdSchema }) },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql } }) =>
    (await takeBackWriteOff(sql, id)) ? { status: 200, body: { id } } : { refusal: { kind: 'not-found' } },
});

export const writeOffRoutes: readonly Route[] = [list, add, takeBack];
