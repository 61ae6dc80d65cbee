// The four routes that every record has: a list in pages, one of it, a new one, and one under a chosen id or edited.
import { randomBytes } from 'node:crypto';
import type postgres from 'postgres';
import { z } from 'zod';
import { makeUuidV7, plainIdSchema } from '#domain/ids.ts';
import type { Connections } from '../database/connections.ts';
import { etagOf } from '../http/etag.ts';
import { cursorOf, pageSchemaOf } from '../http/paging.ts';
import { type Answer, defineRoute, type Route } from '../http/route.ts';
import { editRecord, type Kept, makeRecord, type RecordKind } from './keep.ts';
import { inOrderOf, type Listed, type Page, type PageCursor, readPageIds } from './page.ts';

/** What every list's query holds (`pageQuery`), beside its own filters. */
interface PageAsked {
  readonly after?: PageCursor | undefined;
  readonly limit: number;
}
type KeptRecord = { readonly id: string; readonly version: number };

/** How its list is read: by the driver where it has filters or an order of its own, by Prisma where it is plain. */
type Reading<Q extends z.ZodType<PageAsked>, K extends KeptRecord> =
  | {
      readonly listed: (tx: postgres.ISql, query: z.infer<Q>) => Listed;
      readonly readMany: (tx: postgres.ISql, ids: readonly string[]) => Promise<readonly K[]>;
    }
  | {
      readonly readPage: (
        prisma: Connections['prisma'],
        page: Page,
      ) => Promise<{ readonly records: readonly KeptRecord[]; readonly next: PageCursor | null }>;
    };

interface RecordFacts<Q extends z.ZodType<PageAsked>, B extends z.ZodType, F, K extends KeptRecord> {
  /** The list's address, such as /api/classes. */
  readonly path: string;
  /** What one of it is called in a sentence, and the name of the list in an answer. */
  readonly one: string;
  readonly many: string;
  readonly tag: string;
  readonly query: Q;
  readonly body: B;
  /** What the request says, which came at `now` (UTC ms). */
  readonly factsOf: (body: z.infer<B>, now: number) => F;
  readonly record: z.ZodType<K>;
  readonly kind: RecordKind<F, K>;
}
export type RecordSpec<
  Q extends z.ZodType<PageAsked>,
  B extends z.ZodType,
  F,
  K extends KeptRecord,
> = RecordFacts<Q, B, F, K> & Reading<Q, K>;

const params = z.strictObject({ id: plainIdSchema });

/** A kept record, with the version that its next editor sends back where it has one, or why not. */
export function answerKept<K extends object>(kept: Kept<K>, location: string): Answer {
  if ('refusal' in kept) return kept;
  const { made, record } = kept;
  const etag =
    'version' in record && typeof record.version === 'number' ? { ETag: etagOf(record.version) } : {};
  const headers = { ...etag, ...(made ? { Location: location } : {}) };
  return { status: made ? 201 : 200, body: record, headers };
}

/** One record with its ETag; a refusal where there is none. */
export function answerOne<K extends { readonly version: number }>(record: K | null): Answer {
  if (record === null) return { refusal: { kind: 'not-found' } };
  return { status: 200, body: record, headers: { ETag: etagOf(record.version) } };
}

function listRoute<Q extends z.ZodType<PageAsked>, B extends z.ZodType, F, K extends KeptRecord>(
  spec: RecordSpec<Q, B, F, K>,
): Route {
  return defineRoute({
    method: 'get',
    path: spec.path,
    summary: `The ${spec.many}, page by page`,
    tag: spec.tag,
    query: spec.query,
    answers: { 200: pageSchemaOf(spec.many, spec.record) },
    handle: async ({ query }, { connections }) => {
      const page = { after: query.after ?? null, limit: query.limit };
      if ('readPage' in spec) {
        const { records, next } = await spec.readPage(connections.prisma, page);
        return { status: 200, body: { [spec.many]: records, next: cursorOf(next) } };
      }
      const { ids, next } = await readPageIds(connections.sql, spec.listed(connections.sql, query), page);
      const records = inOrderOf(ids, await spec.readMany(connections.sql, ids));
      return { status: 200, body: { [spec.many]: records, next: cursorOf(next) } };
    },
  });
}

function readRoute<Q extends z.ZodType<PageAsked>, B extends z.ZodType, F, K extends KeptRecord>(
  spec: RecordSpec<Q, B, F, K>,
): Route {
  return defineRoute({
    method: 'get',
    path: `${spec.path}/{id}`,
    summary: `One ${spec.one}`,
    tag: spec.tag,
    params,
    answers: { 200: spec.record },
    refusals: ['not-found'],
    handle: async ({ params: { id } }, { connections }) =>
      answerOne(await spec.kind.readOne(connections.sql, id)),
  });
}

function addRoute<Q extends z.ZodType<PageAsked>, B extends z.ZodType, F, K extends KeptRecord>(
  spec: RecordSpec<Q, B, F, K>,
): Route {
  return defineRoute({
    method: 'post',
    path: spec.path,
    summary: `A new ${spec.one}, under an id that the service makes`,
    tag: spec.tag,
    body: spec.body,
    answers: { 201: spec.record },
    refusals: ['contradiction', 'unknown-reference', 'inside-itself', 'name-taken'],
    handle: async ({ body }, { connections, clock }) => {
      const id = makeUuidV7(clock(), randomBytes(16));
      const kept = await makeRecord(connections.sql, spec.kind, id, spec.factsOf(body, clock()));
      return answerKept(kept, `${spec.path}/${id}`);
    },
  });
}

/** Without If-Match a record is made under the maker's own id (a repeat is harmless); with it, the record is edited. */
function putRoute<Q extends z.ZodType<PageAsked>, B extends z.ZodType, F, K extends KeptRecord>(
  spec: RecordSpec<Q, B, F, K>,
): Route {
  return defineRoute({
    method: 'put',
    path: `${spec.path}/{id}`,
    summary: `Makes a ${spec.one} under an id of yours; with If-Match, edits the one that you read`,
    tag: spec.tag,
    params,
    body: spec.body,
    answers: { 200: spec.record, 201: spec.record },
    refusals: [
      'contradiction',
      'unknown-reference',
      'inside-itself',
      'id-reused',
      'not-found',
      'version-moved',
    ],
    handle: async ({ params: { id }, body, ifMatch }, { connections, clock }) => {
      const facts = spec.factsOf(body, clock());
      const kept =
        ifMatch === 0
          ? await makeRecord(connections.sql, spec.kind, id, facts)
          : await editRecord(connections.sql, spec.kind, { id, ifMatch, facts });
      return answerKept(kept, `${spec.path}/${id}`);
    },
  });
}

/** List, new, one, and make or edit. */
export function recordRoutes<Q extends z.ZodType<PageAsked>, B extends z.ZodType, F, K extends KeptRecord>(
  spec: RecordSpec<Q, B, F, K>,
): readonly Route[] {
  return [listRoute(spec), addRoute(spec), readRoute(spec), putRoute(spec)];
}
