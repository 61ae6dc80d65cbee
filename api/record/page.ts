// One page of a list: the ids that come after a cursor, in a total order of (key, id).

import type postgres from 'postgres';
import { z } from 'zod';
import { plainIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { pageQueryOf } from '../http/paging.ts';

/** Where a page ended. The key is the text that the list is sorted by. */
export const pageCursorSchema = z.strictObject({ key: cleanText(400), id: plainIdSchema });
export type PageCursor = z.infer<typeof pageCursorSchema>;

/** The query fields that every list of the record has. */
export const pageQuery = pageQueryOf(pageCursorSchema);

export interface Page {
  readonly after: PageCursor | null;
  readonly limit: number;
}

/** What is listed: fragments of SQL, of which `key` yields text and `id` the id. */
export interface Listed {
  readonly from: postgres.Fragment;
  readonly where: postgres.Fragment;
  readonly key: postgres.Fragment;
  readonly id: postgres.Fragment;
  readonly descending?: boolean;
}

/** Reads one row more than asked for, to know whether another page follows. */
export async function readPageIds(
  tx: postgres.ISql,
  listed: Listed,
  page: Page,
): Promise<{ readonly ids: readonly string[]; readonly next: PageCursor | null }> {
  const { from, where, key, id } = listed;
  const beyond = listed.descending ? tx`<` : tx`>`;
  const order = listed.descending ? tx`desc` : tx`asc`;
  const after =
    page.after === null
      ? tx`true`
      : tx`(${key}, ${id}) ${beyond} (${page.after.key}, ${page.after.id}::uuid)`;
  const rows = await tx<PageCursor[]>`
    select ${key} as key, ${id} as id from ${from} where ${where} and ${after}
    order by ${key} ${order}, ${id} ${order} limit ${page.limit + 1}`;
  const shown = rows.slice(0, page.limit);
  const next = rows.length > page.limit ? (shown.at(-1) ?? null) : null;
  return { ids: shown.map((row) => row.id), next: next && { key: next.key, id: next.id } };
}

/** For lists that Prisma reads in the order of (name, id): what stands after the cursor. */
export function afterName({ after }: Page) {
  if (after === null) return {};
  return { OR: [{ name: { gt: after.key } }, { name: after.key, id: { gt: after.id } }] };
}

/** The page out of rows of which one more was read than asked for. */
export function cutPage<R extends { readonly id: string }>(
  rows: readonly R[],
  limit: number,
  keyOf: (row: R) => string,
): { readonly records: readonly R[]; readonly next: PageCursor | null } {
  const records = rows.slice(0, limit);
  const last = rows.length > limit ? records.at(-1) : undefined;
  return { records, next: last === undefined ? null : { key: keyOf(last), id: last.id } };
}

/** The records in the order of their ids. */
export function inOrderOf<K extends { readonly id: string }>(
  ids: readonly string[],
  records: readonly K[],
): K[] {
  const byId = new Map(records.map((record) => [record.id, record]));
  return ids.flatMap((id) => byId.get(id) ?? []);
}
