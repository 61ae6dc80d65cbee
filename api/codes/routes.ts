// Codes and tags over HTTP: what a code means, putting it onto a thing or a place, blank tags.
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { scannedTextSchema } from '#domain/scanned-text.ts';
import { tagCodeSchema } from '#domain/tag-code.ts';
import { cursorOf, pageQueryOf, pageSchemaOf } from '../http/paging.ts';
import { type Answer, defineRoute, type Route } from '../http/route.ts';
import { makeTags, TAGS_PER_BLOCK_MAX } from './make-tags.ts';
import { putCode, takeOffCode } from './put-code.ts';
import { resolveCode, resolvedSchema, showCode } from './resolve-code.ts';
import { blankTagSchema, codeKindSchema, readMadeTags, tieSchema } from './store.ts';

/** A device's clock may be a little ahead of the service's. */
const AHEAD_MS_MAX = 120_000;

const tag = 'Codes';
const params = z.strictObject({ code: scannedTextSchema });
const yesOrNo = z.enum(['true', 'false']).transform((text) => text === 'true');
const tiesSchema = z.strictObject({ ties: z.array(tieSchema) });

const resolve = defineRoute({
  method: 'get',
  path: '/api/codes/{code}',
  summary:
    'What a scanned or typed code means: a thing, a place, one of several, a tag with a mistake, or nothing yet.',
  tag,
  params,
  query: z.strictObject({ typed: yesOrNo.default(false) }),
  answers: { 200: resolvedSchema },
  handle: async ({ params: { code }, query }, { connections: { sql } }) => ({
    status: 200,
    body: await resolveCode(sql, code, query.typed),
  }),
});

const putBodySchema = z
  .strictObject({
    thingId: thingIdSchema.optional(),
    placeId: placeIdSchema.optional(),
    kind: codeKindSchema.nullable().default(null),
    since: z.int().min(0).nullable().default(null),
    takeFrom: plainIdSchema.nullable().default(null),
  })
  .refine((body) => (body.thingId === undefined) !== (body.placeId === undefined), {
    path: ['thingId'],
    message: 'give either the thing or the place that gets the code',
  });

function targetOf(body: z.infer<typeof putBodySchema>) {
  if (body.thingId !== undefined) return { thingId: body.thingId };
  return body.placeId === undefined ? null : { placeId: body.placeId };
}

const put = defineRoute({
  method: 'put',
  path: '/api/codes/{code}',
  summary: 'Puts a code onto a thing or a place from a time on; what it meant before is kept.',
  tag,
  params,
  body: putBodySchema,
  answers: { 200: tiesSchema, 201: tiesSchema },
  refusals: ['bad-check-characters', 'contradiction', 'unknown-reference', 'code-in-use'],
  handle: async ({ params: { code }, body }, { connections: { sql }, clock }): Promise<Answer> => {
    const target = targetOf(body);
    const since = body.since ?? clock();
    if (target === null || since > clock() + AHEAD_MS_MAX) {
      const detail = 'lies in the future; leave it out to begin now';
      return { refusal: { kind: 'contradiction', fields: [{ pointer: '/since', detail }] } };
    }
    const done = await putCode(sql, { text: code, target, kind: body.kind, since, takeFrom: body.takeFrom });
    return 'refusal' in done ? done : { status: done.made ? 201 : 200, body: { ties: done.ties } };
  },
});

const takeOff = defineRoute({
  method: 'delete',
  path: '/api/codes/{code}',
  summary: 'Takes a code off the thing or place it is on; what it meant is kept.',
  tag,
  params,
  query: z.strictObject({ from: plainIdSchema }),
  answers: { 200: tiesSchema },
  refusals: ['code-not-in-use'],
  handle: async ({ params: { code }, query }, { connections: { sql }, clock }): Promise<Answer> => {
    const done = await takeOffCode(sql, { text: code, from: query.from, until: clock() });
    return 'refusal' in done ? done : { status: 200, body: { ties: done.ties } };
  },
});

const blockSchema = z.strictObject({
  blockId: plainIdSchema,
  tags: z.array(z.strictObject({ code: z.string(), shown: z.string() })),
});

const make = defineRoute({
  method: 'post',
  path: '/api/tags',
  summary: 'Makes a block of blank tags ahead of time. The same block id again gets the same tags.',
  tag,
  body: z.strictObject({ blockId: plainIdSchema, number: z.int().min(1).max(TAGS_PER_BLOCK_MAX) }),
  answers: { 200: blockSchema, 201: blockSchema },
  refusals: ['id-reused'],
  handle: async ({ body }, { connections: { sql }, clock }): Promise<Answer> => {
    const block = await makeTags(sql, { ...body, now: clock() });
    if ('refusal' in block) return block;
    const tags = block.codes.map((code) => ({ code, shown: showCode(code) }));
    return { status: block.made ? 201 : 200, body: { blockId: block.blockId, tags } };
  },
});

const list = defineRoute({
  method: 'get',
  path: '/api/tags',
  summary: 'The tags made ahead of time, blank or tied by now, page by page.',
  tag,
  query: z.strictObject({
    ...pageQueryOf(z.strictObject({ code: tagCodeSchema })),
    block: plainIdSchema.optional(),
    tied: yesOrNo.optional(),
  }),
  answers: { 200: pageSchemaOf('tags', blankTagSchema) },
  handle: async ({ query }, { connections: { sql } }) => {
    const rows = await readMadeTags(sql, {
      after: query.after?.code ?? null,
      limit: query.limit + 1,
      blockId: query.block ?? null,
      tied: query.tied ?? null,
    });
    const shown = rows.slice(0, query.limit);
    const last = rows.length > query.limit ? shown.at(-1) : undefined;
    const tags = shown.map((row) => ({ ...row, shown: showCode(row.code) }));
    return { status: 200, body: { tags, next: cursorOf(last === undefined ? null : { code: last.code }) } };
  },
});

export const codeRoutes: readonly Route[] = [resolve, put, takeOff, make, list];
