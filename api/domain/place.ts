// Anywhere a thing can be. A vehicle and a container are things as well, under the same id, and move as things do.
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, stopIdSchema, thingIdSchema } from './ids.ts';
import { cleanText } from './movement.ts';
import { currencySchema, dateSchema } from './thing.ts';

export const PLACE_KINDS = [
  'store',
  'vehicle',
  'compartment',
  'container',
  'location',
  'hotel',
  'in-transit',
  'party',
] as const;
export const placeKindSchema = z.enum(PLACE_KINDS);
export type PlaceKind = z.infer<typeof placeKindSchema>;

const instant = z.int().min(0).max(8_640_000_000_000_000);
const zoneText = cleanText(80);

export const placeFactsSchema = z.strictObject({
  kind: placeKindSchema,
  name: cleanText(300).min(1, 'a place needs a name'),
  parentId: placeIdSchema.nullable(),
  sort: z.int().min(0).max(100_000),
  zone: zoneText.nullable(),
  address: cleanText(1_000).nullable(),
  note: cleanText(4_000).nullable(),
});
export const placeSchema = placeFactsSchema.extend({
  id: placeIdSchema,
  /** Set for a vehicle or a container: the thing this place is. */
  thingId: thingIdSchema.nullable(),
  unnamed: z.boolean(),
  pictureIds: z.array(plainIdSchema),
  codes: z.array(z.string()),
  version: z.int(),
});
export type Place = z.infer<typeof placeSchema>;

export const stopKindSchema = z.enum(['location', 'hotel']);
/** One location or hotel of a job, made anywhere, also with no network: its id and its new place come along. */
export const newStopSchema = z.strictObject({
  id: stopIdSchema,
  jobId: plainIdSchema.nullable(),
  name: cleanText(300).min(1),
  kind: stopKindSchema,
  zone: zoneText.min(1),
  startsAt: instant,
  unnamed: z.boolean(),
  place: z.strictObject({ id: placeIdSchema, name: cleanText(300).min(1), isNew: z.boolean() }),
});
export type NewStop = z.infer<typeof newStopSchema>;
export const stopSchema = z.strictObject({
  id: stopIdSchema,
  jobId: plainIdSchema.nullable(),
  jobName: z.string().nullable(),
  placeId: placeIdSchema,
  name: z.string(),
  kind: stopKindSchema,
  zone: z.string(),
  startsAt: instant,
  endsAt: instant.nullable(),
  unnamed: z.boolean(),
  version: z.int(),
});
export type Stop = z.infer<typeof stopSchema>;

export const jobFactsSchema = z.strictObject({
  name: cleanText(300).min(1),
  partyId: placeIdSchema.nullable(),
  startsOn: dateSchema.nullable(),
  endsOn: dateSchema.nullable(),
  note: cleanText(4_000).nullable(),
});
export const jobSchema = jobFactsSchema.extend({ id: plainIdSchema, version: z.int() });
export type Job = z.infer<typeof jobSchema>;

export const outfitFactsSchema = z.strictObject({
  name: cleanText(200).min(1, 'the outfit needs a name'),
  currency: currencySchema,
  zone: zoneText.min(1),
  units: z.enum(['metric', 'imperial']),
  yearEnd: z.string().regex(/^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/, 'must be month and day such as 12-31'),
  mainsVolts: z.int().min(90).max(260),
  dayTurnsMinutes: z.int().min(0).max(1_439),
  lastLook: z.array(cleanText(120).min(1)).max(20),
});
export const outfitSchema = outfitFactsSchema.extend({ demo: z.boolean(), version: z.int() });
export type Outfit = z.infer<typeof outfitSchema>;
