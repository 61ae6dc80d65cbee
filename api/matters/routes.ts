// Matters to look at, over HTTP: what waits, what nobody knows, loops, clocks, and what phones could not use.
import type postgres from 'postgres';
import { z } from 'zod';
import { deviceIdSchema, plainIdSchema } from '#domain/ids.ts';
import {
  clockMatterSchema,
  codeMatterSchema,
  LEFTOVER_MAX,
  leftoverFactsSchema,
  leftoverSchema,
  loopMatterSchema,
  type MatterSums,
  matterSchema,
  matterSumsSchema,
  waitingGroupSchema,
} from '#domain/matter.ts';
import { cleanText } from '#domain/movement.ts';
import { cursorOf, pageQueryOf, pageSchemaOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { acceptReview } from './accept-review.ts';
import {
  countOpenLeftovers,
  keepLeftover,
  leftoverCursorSchema,
  readLeftovers,
  readLeftoverText,
} from './leftovers.ts';
import { sayLookedAt } from './looked-at.ts';
import { readClockTrouble } from './read-clocks.ts';
import { readUnknownCodes } from './read-codes.ts';
import { readLoops } from './read-loops.ts';
import { readWaitingGroups } from './read-waiting-groups.ts';

const tag = 'To look at';
const mattersSchema = z.strictObject({
  sums: matterSumsSchema,
  waiting: z.array(waitingGroupSchema),
  codes: z.array(codeMatterSchema),
  loops: z.array(loopMatterSchema),
  clocks: z.array(clockMatterSchema),
});

/** All but the leftovers, which come in pages of their own. One moment of the database. */
function readMatters(sql: postgres.Sql) {
  return sql.begin('isolation level repeatable read read only', async (tx) => {
    const [waiting, codes, loops, clocks, leftovers] = await Promise.all([
      readWaitingGroups(tx),
      readUnknownCodes(tx),
      readLoops(tx),
      readClockTrouble(tx),
      countOpenLeftovers(tx),
    ]);
    const open = (matters: readonly { readonly isOpen: boolean }[]) =>
      matters.filter((matter) => matter.isOpen).length;
    const numbers = { waiting: open(waiting), codes: open(codes), loops: open(loops), clocks: open(clocks) };
    const sum = numbers.waiting + numbers.codes + numbers.loops + numbers.clocks + leftovers;
    const sums: MatterSums = { ...numbers, leftovers, open: sum };
    return { sums, waiting, codes, loops, clocks };
  });
}

const list = defineRoute({
  method: 'get',
  path: '/api/matters',
  summary: 'What somebody should look at, with how many of each are open.',
  tag,
  answers: { 200: mattersSchema },
  handle: async (_given, { connections: { sql } }) => ({ status: 200, body: await readMatters(sql) }),
});

const sums = defineRoute({
  method: 'get',
  path: '/api/matters/sums',
  summary: 'How many matters of each kind are open.',
  tag,
  answers: { 200: matterSumsSchema },
  handle: async (_given, { connections: { sql } }) => ({ status: 200, body: (await readMatters(sql)).sums }),
});

const lookedAt = defineRoute({
  method: 'put',
  path: '/api/matters/looked-at',
  summary: 'Marks a matter as looked at and left as it is, or as open again.',
  tag,
  body: z.strictObject({ matter: matterSchema, ref: cleanText(400).min(1), lookedAt: z.boolean() }),
  answers: { 200: z.strictObject({ at: z.int().nullable() }) },
  handle: async ({ body }, { connections: { sql }, clock }) => {
    const at = body.lookedAt ? clock() : null;
    await sayLookedAt(sql, body, at);
    return { status: 200, body: { at } };
  },
});

const accept = defineRoute({
  method: 'post',
  path: '/api/matters/review/{deviceId}/accept',
  summary: 'Lets the lines of a removed device that wait for a review into the ledger.',
  tag,
  params: z.strictObject({ deviceId: deviceIdSchema }),
  answers: { 200: z.strictObject({ accepted: z.int(), waiting: z.int() }) },
  refusals: ['not-found'],
  handle: async ({ params: { deviceId } }, { connections: { sql } }) => {
    const accepted = await acceptReview(sql, deviceId);
    return accepted === null ? { refusal: { kind: 'not-found' } } : { status: 200, body: accepted };
  },
});

const leftoverParams = z.strictObject({ id: plainIdSchema });

const leftovers = defineRoute({
  method: 'get',
  path: '/api/leftovers',
  summary: 'What phones hold and can never use, the latest first, page by page',
  tag,
  query: z.strictObject(pageQueryOf(leftoverCursorSchema)),
  answers: { 200: pageSchemaOf('leftovers', leftoverSchema) },
  handle: async ({ query }, { connections: { sql } }) => {
    const { leftovers: shown, next } = await readLeftovers(sql, query);
    return { status: 200, body: { leftovers: shown, next: cursorOf(next) } };
  },
});

const handOver = defineRoute({
  method: 'put',
  path: '/api/leftovers/{id}',
  summary: `Hands over what a phone can’t use, at most ${LEFTOVER_MAX} characters; a repeat is harmless`,
  tag,
  params: leftoverParams,
  body: leftoverFactsSchema,
  answers: {
    200: z.strictObject({ id: plainIdSchema, receivedAt: z.int() }),
    201: z.strictObject({ id: plainIdSchema, receivedAt: z.int() }),
  },
  refusals: ['id-reused'],
  handle: async ({ params: { id }, body }, { connections: { sql }, clock }) => {
    const kept = await keepLeftover(sql, id, body, clock());
    return 'refusal' in kept ? kept : { status: kept.made ? 201 : 200, body: kept.record };
  },
});

const text = defineRoute({
  method: 'get',
  path: '/api/leftovers/{id}/text',
  summary: 'One of them as it came, to be saved as a file.',
  tag,
  params: leftoverParams,
  media: ['text/plain'],
  answers: {},
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql } }) => {
    const found = await readLeftoverText(sql, id);
    if (found === null) return { refusal: { kind: 'not-found' } };
    const headers = {
      'Content-Disposition': `attachment; filename="leftover-${id}.txt"`,
      'X-Content-Type-Options': 'nosniff',
    };
    return { status: 200, bytes: found, type: 'text/plain; charset=utf-8', headers };
  },
});

export const matterRoutes: readonly Route[] = [list, sums, lookedAt, accept, leftovers, handOver, text];
