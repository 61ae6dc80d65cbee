// A package: a named want-list of certain items, or "n of this class", with the spares that must travel.
import { z } from 'zod';
import { plainIdSchema, thingIdSchema } from './ids.ts';
import { cleanText } from './movement.ts';

const PACKAGE_LINES_MAX = 500;
const NUMBER_IN_PACKAGE_MAX = 100_000;

export const packageLineSchema = z.strictObject({
  thingId: thingIdSchema.nullable(),
  classId: plainIdSchema.nullable(),
  number: z.int().min(1).max(NUMBER_IN_PACKAGE_MAX),
  spares: z.int().min(0).max(NUMBER_IN_PACKAGE_MAX),
});
export const packageFactsSchema = z.strictObject({
  name: cleanText(300).min(1, 'a package needs a name'),
  note: cleanText(4_000).nullable(),
  /** In the order in which they are packed. */
  lines: z.array(packageLineSchema).max(PACKAGE_LINES_MAX),
});
export type PackageFacts = z.infer<typeof packageFactsSchema>;
export const packageSchema = packageFactsSchema.extend({ id: plainIdSchema, version: z.int() });
export type Package = z.infer<typeof packageSchema>;
