// Editing many things at once: what may be set on all of them, and what that does to each. Pure, so that the preview and
// the writing cannot differ.
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from './ids.ts';
import { cleanText, wantedCheckSchema } from './movement.ts';
import {
  countrySchema,
  currencySchema,
  dateSchema,
  homeSchema,
  minorSchema,
  type Thing,
  type ThingFacts,
  waySchema,
  whoseSchema,
} from './thing.ts';
import { findContradictions } from './thing-facts.ts';
import type { ReplacementValueFacts } from './worth.ts';

export const EDITED_MAX = 10_000;

const line = cleanText(300).nullable();
const AMOUNT_MAX = minorSchema.maxValue ?? Number.MAX_SAFE_INTEGER;
const PERMILLE_LEAST = -999;
const PERMILLE_MOST = 10_000;

/** What a thing costs new, said anew: an amount, more or less by so many thousandths, or the same with a newer date. */
export const valueChangeSchema = z.strictObject({
  to: z.union([
    z.strictObject({ minor: minorSchema.min(0), currency: currencySchema }),
    z.strictObject({ permille: z.int().min(PERMILLE_LEAST).max(PERMILLE_MOST) }),
  ]),
  onDate: dateSchema,
  source: cleanText(300).min(1, 'say where the price is from'),
});
export type ValueChange = z.infer<typeof valueChangeSchema>;

/** What is set on all of the chosen things; what is left out stays as it is. */
export const thingSetSchema = z
  .strictObject({
    classId: plainIdSchema.nullable().optional(),
    /** These four belong together: a thing of ours has no owner. */
    whose: z
      .strictObject({
        whose: whoseSchema,
        ownerPlaceId: placeIdSchema.nullable(),
        whoseFrom: dateSchema.nullable(),
        whoseUntil: dateSchema.nullable(),
      })
      .optional(),
    /** Its one home on this way of travelling; null: it has none there. */
    home: z.strictObject({ way: waySchema, placeId: placeIdSchema.nullable() }).optional(),
    /** All its homes, as they were: for putting back. */
    homes: z.array(homeSchema).max(20).optional(),
    check: wantedCheckSchema.nullable().optional(),
    country: countrySchema.nullable().optional(),
    maker: line.optional(),
    purchasedFrom: line.optional(),
    value: valueChangeSchema.optional(),
  })
  .refine((set) => Object.values(set).some((value) => value !== undefined), 'say what to change');
export type ThingSet = z.infer<typeof thingSetSchema>;

/** Why a thing is left out; the others are changed all the same. */
export const LEFT_OUT = [
  'not-found',
  'merged-away',
  'version-moved',
  'contradiction',
  'inside-itself',
  'no-value-known',
  'number-of-home-unknown',
] as const;
export const leftOutSchema = z.enum(LEFT_OUT);
export type LeftOut = z.infer<typeof leftOutSchema>;

/** One fact of one thing before and after, as it is kept; the reader knows its words. */
const changeSchema = z.strictObject({
  fact: z.enum(['classId', 'whose', 'homes', 'check', 'country', 'maker', 'purchasedFrom', 'value']),
  before: z.unknown(),
  after: z.unknown(),
});
export type FactChange = z.infer<typeof changeSchema>;

export const editLineSchema = z.strictObject({
  id: thingIdSchema,
  name: z.string().nullable(),
  does: z.enum(['changes', 'stays', 'left-out']),
  why: leftOutSchema.nullable(),
  detail: z.string().nullable(),
  changes: z.array(changeSchema),
  /** The version that it has now, after a change the new one. */
  version: z.int().nullable(),
  /** What puts it back as it was; null where nothing changed. */
  back: thingSetSchema.nullable(),
});
export type EditLine = z.infer<typeof editLineSchema>;

export interface Edited {
  readonly facts: ThingFacts;
  readonly value: ReplacementValueFacts | null;
  readonly changes: readonly FactChange[];
  readonly back: ThingSet;
}
export type EditDecision =
  | { readonly edited: Edited }
  | { readonly stays: true }
  | { readonly leftOut: LeftOut; readonly detail: string | null };

/**
 * An amount raised or lowered by thousandths. `minor` is in minor units, 0 or more; the result is rounded half up to
 * whole minor units. Source: rounding half up is a choice of this project, for estimates of prices.
 */
export function changeAmount(minor: number, permille: number): number {
  // Taken apart, because the product of a large amount would not be exact.
  const [thousands, rest] = [Math.floor(minor / 1_000), minor % 1_000];
  return thousands * (1_000 + permille) + Math.floor((rest * (1_000 + permille) + 500) / 1_000);
}

/** The homes with the one of this way replaced. Of a counted thing as many live there as did; null where none did. */
function homesWith(thing: Thing, home: NonNullable<ThingSet['home']>): ThingFacts['homes'] | null {
  const others = thing.homes.filter(({ way }) => way !== home.way);
  if (home.placeId === null) return others;
  const before = thing.homes.filter(({ way }) => way === home.way);
  const number = thing.kind === 'item' ? 1 : before.reduce((sum, { number: some }) => sum + some, 0);
  return number === 0 ? null : [...others, { way: home.way, placeId: home.placeId, number }];
}

function valueAfter(thing: Thing, { to, onDate, source }: ValueChange): ReplacementValueFacts | null {
  if ('minor' in to) return { amountMinor: to.minor, currency: to.currency, onDate, source };
  if (thing.replacement === null) return null;
  const { minor, currency } = thing.replacement;
  return { amountMinor: changeAmount(minor, to.permille), currency, onDate, source };
}

const SAME_NAMED = ['classId', 'check', 'country', 'maker', 'purchasedFrom'] as const;
const whoseOf = ({ whose, ownerPlaceId, whoseFrom, whoseUntil }: ThingFacts) => ({
  whose,
  ownerPlaceId,
  whoseFrom,
  whoseUntil,
});
const isSame = (a: unknown, b: unknown) => JSON.stringify(a) === JSON.stringify(b);
const sorted = (homes: ThingFacts['homes']) =>
  [...homes].sort((a, b) => (a.way + a.placeId < b.way + b.placeId ? -1 : 1));

/** Every fact that becomes another, with what it was. */
function changesOf(thing: Thing, facts: ThingFacts, value: ReplacementValueFacts | null): FactChange[] {
  const changes: FactChange[] = [];
  const note = (fact: FactChange['fact'], before: FactChange['before'], after: FactChange['after']) => {
    if (!isSame(before, after)) changes.push({ fact, before, after });
  };
  for (const fact of SAME_NAMED) note(fact, thing[fact], facts[fact]);
  note('whose', whoseOf(thing), whoseOf(facts));
  note('homes', sorted(thing.homes), sorted(facts.homes));
  // A newer date for the same amount is a new fact, too.
  if (value !== null)
    changes.push({
      fact: 'value',
      before: thing.replacement,
      after: { minor: value.amountMinor, currency: value.currency },
    });
  return changes;
}

/** Values are only ever added: what puts one back is the amount before, said anew on the same day. */
function backOf(thing: Thing, changes: readonly FactChange[], value: ReplacementValueFacts | null): ThingSet {
  const has = (fact: FactChange['fact']) => changes.some((change) => change.fact === fact);
  const { replacement } = thing;
  return {
    ...Object.fromEntries(SAME_NAMED.filter(has).map((fact) => [fact, thing[fact]])),
    ...(has('whose') ? { whose: whoseOf(thing) } : {}),
    ...(has('homes') ? { homes: sorted(thing.homes) } : {}),
    ...(value === null || replacement === null
      ? {}
      : { value: { to: replacement, onDate: value.onDate, source: 'put back as it was' } }),
  };
}

function factsAfter(thing: Thing, set: ThingSet, homes: ThingFacts['homes']): ThingFacts {
  const same = Object.fromEntries(
    SAME_NAMED.filter((fact) => set[fact] !== undefined).map((fact) => [fact, set[fact]]),
  );
  return { ...thing, ...same, ...(set.whose ?? {}), homes };
}

/**
 * What setting this does to the thing: the facts as they will be and the value to add; that it is so already; or why it
 * is left out, in this order: the number of its home is not known · it has no value that could be raised · the facts
 * would contradict each other. Whether it is known, of the version that was seen, or inside its own home is the caller's.
 */
export function decideEdit(thing: Thing, set: ThingSet): EditDecision {
  const homes = set.homes ?? (set.home === undefined ? thing.homes : homesWith(thing, set.home));
  if (homes === null) return { leftOut: 'number-of-home-unknown', detail: null };
  const value = set.value === undefined ? null : valueAfter(thing, set.value);
  if (set.value !== undefined && value === null) return { leftOut: 'no-value-known', detail: null };
  if (value !== null && value.amountMinor > AMOUNT_MAX)
    return { leftOut: 'contradiction', detail: 'would cost more than can be kept' };
  const facts = factsAfter(thing, set, homes);
  const [fault] = findContradictions(thing.kind, facts);
  if (fault !== undefined) return { leftOut: 'contradiction', detail: fault.detail };
  const changes = changesOf(thing, facts, value);
  if (changes.length === 0) return { stays: true };
  return { edited: { facts, value, changes, back: backOf(thing, changes, value) } };
}
