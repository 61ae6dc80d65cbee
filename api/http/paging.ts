// Lists are paged by cursor: an opaque text that stands for a place in the list's total order.
import { z } from 'zod';

export const PAGE_MAX = 500;
const PAGE_USUAL = 100;

function readJson(text: string): unknown {
  try {
    return JSON.parse(Buffer.from(text, 'base64url').toString('utf8'));
  } catch {
    return undefined;
  }
}

/** `after` and `limit` of a list's query; `place` is the schema of where a page ends. */
export function pageQueryOf<S extends z.ZodType>(place: S) {
  const after = z
    .string()
    .max(2_000)
    .transform((text, context): z.infer<S> => {
      const parsed = place.safeParse(readJson(text));
      if (parsed.success) return parsed.data;
      context.addIssue({ code: 'custom', message: 'is no cursor of this list; begin again without one' });
      return z.NEVER;
    });
  return {
    after: after.optional(),
    limit: z.coerce.number().int().min(1).max(PAGE_MAX).default(PAGE_USUAL),
  };
}

/** The cursor for the place where a page ended; null after the last page. */
export function cursorOf(place: object | null): string | null {
  return place === null ? null : Buffer.from(JSON.stringify(place)).toString('base64url');
}

/** The schema of a page: the records under their own name, and where the next page begins. */
export function pageSchemaOf<S extends z.ZodType>(name: string, record: S) {
  return z.strictObject({ [name]: z.array(record), next: z.string().nullable() });
}
