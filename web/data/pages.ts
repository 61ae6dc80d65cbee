// Lists come in pages; a screen that needs all of one walks them.
import { z } from 'zod';
import { type Asked, ask } from './ask.ts';

// A list that does not end after so many pages is a mistake of the service, and shall not run for ever.
const PAGES_MAX = 400;

/** The schema of a page: the records under their own name, and where the next page begins. */
export function pageSchemaOf<S extends z.ZodType>(record: S) {
  return z.looseObject({ next: z.string().nullable() }).transform((page, context) => {
    const { next, ...lists } = page;
    const records = z.array(record).safeParse(Object.values(lists)[0]);
    if (records.success) return { records: records.data, next };
    context.addIssue({ code: 'custom', message: records.error.message });
    return z.NEVER;
  });
}

/** All records of a list, in its order. `path` may hold a query already. */
export async function askAll<T>(
  path: string,
  schema: z.ZodType<{ records: T[]; next: string | null }>,
  signal?: AbortSignal,
): Promise<Asked<readonly T[]>> {
  const records: T[] = [];
  let after = '';
  for (let page = 0; page < PAGES_MAX; page += 1) {
    const address = `${path}${path.includes('?') ? '&' : '?'}limit=500${after}`;
    const answer = await ask(address, schema, signal ? { signal } : {});
    if (!answer.ok) return answer;
    records.push(...answer.body.records);
    if (answer.body.next === null) return { ok: true, body: records, version: null };
    after = `&after=${encodeURIComponent(answer.body.next)}`;
  }
  throw new Error(`The list ${path} does not end.`);
}
