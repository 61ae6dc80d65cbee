// What a person chooses about a list before it is brought in. Everything may be left out; then it is guessed.
import { z } from 'zod';
import { delimiterSchema } from '#domain/csv/delimiter.ts';
import { columnChangeSchema } from '#domain/csv/fields.ts';
import { cleanText } from '#domain/movement.ts';

export const choicesSchema = z.strictObject({
  delimiter: delimiterSchema.nullable().default(null),
  /** The row of the headings, from 0; -1 for none. */
  headingRow: z.int().min(-1).max(1_000).nullable().default(null),
  /** Changes to columns, by their index in the row, from 0. */
  columns: z
    .record(z.string().regex(/^\d{1,3}$/, 'must be the number of a column, from 0'), columnChangeSchema)
    .default({}),
  /** What a line with a number above one makes. */
  numberMakes: z.enum(['counted-gear', 'items']).default('counted-gear'),
  /** Where things without a home are put down: a place of that name, made when there is none. */
  arriveAt: cleanText(300).min(1).default('Store'),
  /** New homes are compartments of the vehicle of this name, made when there is none; null: they are stores. */
  vehicle: cleanText(300).min(1).nullable().default(null),
});
export type Choices = z.infer<typeof choicesSchema>;

function readJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** The choices as they come in a query: JSON in one parameter, because the body is the file itself. */
export const choicesQuerySchema = z
  .string()
  .max(12_000)
  .default('{}')
  .transform((text, context): Choices => {
    const parsed = choicesSchema.safeParse(readJson(text));
    if (parsed.success) return parsed.data;
    for (const issue of parsed.error.issues) {
      context.addIssue({ code: 'custom', path: [...issue.path], message: issue.message });
    }
    return z.NEVER;
  });
