// What is said, with a date, about what things are worth: replacement values, sundries, and what is written off.
import { z } from 'zod';
import { movementIdSchema, personIdSchema, placeIdSchema, plainIdSchema, thingIdSchema } from './ids.ts';
import { cleanText, NUMBER_MAX } from './movement.ts';
import { currencySchema, dateSchema, minorSchema } from './thing.ts';

const amount = minorSchema.min(0);

/** What the same or the nearest current thing costs new, with the date and the source of that price. */
export const replacementValueFactsSchema = z.strictObject({
  amountMinor: amount,
  currency: currencySchema,
  onDate: dateSchema,
  source: cleanText(300).min(1, 'say where the price is from'),
});
export type ReplacementValueFacts = z.infer<typeof replacementValueFactsSchema>;
export const replacementValueSchema = replacementValueFactsSchema.extend({
  id: plainIdSchema,
  thingId: thingIdSchema,
  personId: personIdSchema.nullable(),
});
export type ReplacementValue = z.infer<typeof replacementValueSchema>;

/** An estimated lump of value for a compartment or a class that nobody lists piece by piece; exactly one of the two. */
export const sundriesFactsSchema = z.strictObject({
  placeId: placeIdSchema.nullable(),
  classId: plainIdSchema.nullable(),
  description: cleanText(300).min(1, 'say what it is an estimate of'),
  amountMinor: amount,
  currency: currencySchema,
  onDate: dateSchema,
});
export type SundriesFacts = z.infer<typeof sundriesFactsSchema>;
export const sundriesSchema = sundriesFactsSchema.extend({ id: plainIdSchema, version: z.int() });
export type Sundries = z.infer<typeof sundriesSchema>;

/** Said later by the owner: takes a thing, or so many of a counted one, out of the sums. */
export const writeOffFactsSchema = z.strictObject({
  thingId: thingIdSchema,
  number: z.int().min(1).max(NUMBER_MAX),
  onDate: dateSchema,
  reason: z.enum(['lost', 'stolen', 'destroyed', 'sold']),
  note: cleanText(4_000).nullable(),
  /** Counted gear: the finding of absence that this is about. It names so many fewer from then on. */
  lineId: movementIdSchema.nullable().default(null),
});
export type WriteOffFacts = z.infer<typeof writeOffFactsSchema>;
export const writeOffSchema = writeOffFactsSchema.extend({
  id: plainIdSchema,
  personId: personIdSchema.nullable(),
});
export type WriteOff = z.infer<typeof writeOffSchema>;
