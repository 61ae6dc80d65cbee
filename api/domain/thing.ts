// What is known of a thing: an item (one thing known by itself), counted gear (alike, by number) or a consumable.
import { z } from 'zod';
import { movementIdSchema, placeIdSchema, plainIdSchema, thingIdSchema } from './ids.ts';
import { cleanText, NUMBER_MAX, wantedCheckSchema } from './movement.ts';

export const THING_KINDS = ['item', 'counted', 'consumable'] as const;
export const thingKindSchema = z.enum(THING_KINDS);
export type ThingKind = z.infer<typeof thingKindSchema>;

export const WHOSE = ['ours', 'rented-in', 'borrowed', 'client'] as const;
export const whoseSchema = z.enum(WHOSE);
export type Whose = z.infer<typeof whoseSchema>;

export const WAYS = ['driving', 'flying'] as const;
export const waySchema = z.enum(WAYS);
export type Way = z.infer<typeof waySchema>;

/** A calendar date, "2026-11-25". Refuses days that do not exist. */
export const dateSchema = z.iso
  .date('must be a date such as 2026-11-25')
  // PostgreSQL's calendar has no year 0.
  .refine((date) => date >= '0001', 'must be a date such as 2026-11-25');
/** An ISO 4217 alphabetic code. */
export const currencySchema = z.string().regex(/^[A-Z]{3}$/, 'must be an ISO 4217 code such as EUR');
/** An ISO 3166-1 alpha-2 code. */
export const countrySchema = z.string().regex(/^[A-Z]{2}$/, 'must be an ISO 3166 code such as PT');
/** Money in the currency's minor unit; never a fraction. */
export const minorSchema = z.int().min(-9_000_000_000_000).max(9_000_000_000_000);
export const moneySchema = z.strictObject({ minor: minorSchema, currency: currencySchema });
export type Money = z.infer<typeof moneySchema>;

const line = cleanText(300).nullable();
const text = cleanText(4_000).nullable();
const whole = z.int().min(0).max(NUMBER_MAX).nullable();
const decimal = z.number().min(0).max(1_000_000).nullable();

export const homeSchema = z.strictObject({
  way: waySchema,
  placeId: placeIdSchema,
  number: z.int().min(1).max(NUMBER_MAX),
});

/** The facts a person can write down about a thing. Every one but the name may be unknown (null). */
export const thingFactsSchema = z.strictObject({
  name: cleanText(300).min(1, 'a thing needs a name'),
  classId: plainIdSchema.nullable(),
  maker: line,
  model: line,
  description: text,
  serial: line,
  whose: whoseSchema,
  ownerPlaceId: placeIdSchema.nullable(),
  whoseFrom: dateSchema.nullable(),
  whoseUntil: dateSchema.nullable(),
  feeMinor: minorSchema.nullable(),
  feePer: z.enum(['day', 'week', 'month', 'job']).nullable(),
  weightGrams: whole,
  widthMm: whole,
  heightMm: whole,
  depthMm: whole,
  purchasedOn: dateSchema.nullable(),
  purchaseMinor: minorSchema.nullable(),
  purchaseCurrency: currencySchema.nullable(),
  purchasedFrom: line,
  country: countrySchema.nullable(),
  container: z.boolean(),
  check: wantedCheckSchema.nullable(),
  builtOnId: thingIdSchema.nullable(),
  chemistry: z.enum(['lithium-ion', 'lithium-metal', 'nimh', 'lead-acid', 'alkaline', 'other']).nullable(),
  wattHours: decimal,
  volts: decimal,
  ampereHours: decimal,
  lithiumGrams: decimal,
  cycles: whole,
  unit: cleanText(40).nullable(),
  par: whole,
  note: text,
  homes: z.array(homeSchema).max(20),
});
export type ThingFacts = z.infer<typeof thingFactsSchema>;

/** The facts of a thing of ours of which nothing is known yet, to be spread under what is. The name is the caller's. */
export const PLAIN_FACTS: ThingFacts = {
  name: '',
  whose: 'ours',
  container: false,
  homes: [],
  ...{ classId: null, maker: null, model: null, description: null, serial: null },
  ...{ ownerPlaceId: null, whoseFrom: null, whoseUntil: null, feeMinor: null, feePer: null },
  ...{ weightGrams: null, widthMm: null, heightMm: null, depthMm: null, country: null },
  ...{ purchasedOn: null, purchaseMinor: null, purchaseCurrency: null, purchasedFrom: null },
  ...{ check: null, builtOnId: null, unit: null, par: null, note: null },
  ...{ chemistry: null, wattHours: null, volts: null, ampereHours: null, lithiumGrams: null, cycles: null },
};

/** A thing as phones and the desk read it: its facts, and what others say of it. */
export const thingSchema = thingFactsSchema.extend({
  id: thingIdSchema,
  kind: thingKindSchema,
  codes: z.array(z.string()),
  /** The latest dated replacement value; null where none is known or the reader may not see money. */
  replacement: moneySchema.nullable(),
  /** A rank by value, 0 unknown, higher dearer: orders what is missing on screens that show no money. */
  valueRank: z.int(),
  faulty: z.string().nullable(),
  holdsRushes: z.boolean(),
  mergedIntoId: thingIdSchema.nullable(),
  writtenOff: z.boolean(),
  /** Counted gear: missing pieces that were written off, by the finding that they were missing by; left out where none. */
  writtenOffPieces: z.array(z.strictObject({ lineId: movementIdSchema, number: z.int() })).optional(),
  version: z.int(),
});
export type Thing = z.infer<typeof thingSchema>;

/** The class gives the defaults of its things. `forgotten` is 0 (seldom) to 3 (most often left behind). */
export const classFactsSchema = z.strictObject({
  name: cleanText(120).min(1),
  parentId: plainIdSchema.nullable(),
  check: wantedCheckSchema,
  forgotten: z.int().min(0).max(3),
  essential: z.boolean(),
  lifeMonths: z.int().min(1).max(1_200).nullable(),
  residualPermille: z.int().min(0).max(1_000).nullable(),
  needs: z.array(cleanText(120)).max(20),
});
export const classSchema = classFactsSchema.extend({ id: plainIdSchema, version: z.int() });
export type ThingClass = z.infer<typeof classSchema>;
