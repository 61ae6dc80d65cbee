// Where everything is now: the places with numbers, value and open matters, and what lies in one of them.
import { z } from 'zod';
import { type PlaceId, placeIdSchema, thingIdSchema } from './ids.ts';
import { placeKindSchema } from './place.ts';
import { dateSchema, homeSchema, type Money, moneySchema, thingKindSchema, whoseSchema } from './thing.ts';

const number = z.int().min(0);

/** What a place holds, in numbers. */
export const figuresSchema = z.strictObject({
  /** Items, and kinds of counted things; written-off ones do not count. */
  things: number,
  /** The replacement value of one's own things, one sum for each currency, sorted by its code. */
  worth: z.array(moneySchema),
  /** Sundries: lumps that somebody estimated. Never part of `worth`, so that a sum says what it is made of. */
  estimate: z.array(moneySchema),
  faulty: number,
  /** Not found yet, or did not come: their last place is here. */
  notFound: number,
  /** Rented in, borrowed or a client's, and its last day is over. */
  overdue: number,
});
export type Figures = z.infer<typeof figuresSchema>;

/** A place of the tree. Its figures are of everything in it, also in what stands or lies inside it. */
export const placeNodeSchema = figuresSchema.extend({
  id: placeIdSchema,
  kind: placeKindSchema,
  name: z.string(),
  sort: z.int(),
  unnamed: z.boolean(),
  /** What it is inside of now: its fixed parent, or where the vehicle or container that it is was put last (law 7). */
  insideId: placeIdSchema.nullable(),
  /** How many things were put down right here. */
  here: number,
});
export type PlaceNode = z.infer<typeof placeNodeSchema>;
export const placeTreeSchema = z.strictObject({ places: z.array(placeNodeSchema) });

/** How far a question about a place reaches: what is right here, or also everything inside of it. */
export const reachSchema = z.enum(['here', 'inside']);
export type Reach = z.infer<typeof reachSchema>;

/** One thing at one place. */
export const contentLineSchema = z.strictObject({
  id: thingIdSchema,
  kind: thingKindSchema,
  name: z.string(),
  number: z.int(),
  /** Counted things: what they are counted in; null is pieces. */
  unit: z.string().nullable(),
  /** When it was put here, UTC ms; null for a counted thing, whose number has no one time. */
  at: z.int().nullable(),
  placeId: placeIdSchema,
  /** It is a place itself, which can be looked into. */
  isPlace: z.boolean(),
  whose: whoseSchema,
  /** The replacement value of so many; null where none is known or it is not one's own. */
  worth: moneySchema.nullable(),
  homes: z.array(homeSchema),
  /** It lives somewhere when driving, and this is not it, nor something in it. */
  isStray: z.boolean(),
  faulty: z.string().nullable(),
  notFound: z.boolean(),
  /** Its last day, which is over; null where it is not overdue. */
  overdue: dateSchema.nullable(),
});
export type ContentLine = z.infer<typeof contentLineSchema>;
export const contentPageSchema = z.strictObject({ contents: z.array(contentLineSchema), all: number });

/** One thing that lives in a place, and how much of it is there. */
export const homeLineSchema = z.strictObject({
  id: thingIdSchema,
  kind: thingKindSchema,
  name: z.string(),
  unit: z.string().nullable(),
  way: homeSchema.shape.way,
  /** How many live here: 1 for an item. */
  lives: z.int(),
  /** How many of them are here, also in something that is here; may be negative until a missing line arrives (law 6). */
  here: z.int(),
  /** Where the others are, the most first; at most five places. */
  elsewhere: z.array(z.strictObject({ placeId: placeIdSchema, number: z.int() })),
  notFound: z.boolean(),
});
export type HomeLine = z.infer<typeof homeLineSchema>;
export const homePageSchema = z.strictObject({ homes: z.array(homeLineSchema), all: number });

/** The numbers of a place's lists. */
export const placeSumsSchema = z.strictObject({
  here: number,
  open: number,
  stray: number,
  lives: number,
  missing: number,
});
export type PlaceSums = z.infer<typeof placeSumsSchema>;

export const NO_FIGURES: Figures = {
  things: 0,
  worth: [],
  estimate: [],
  faulty: 0,
  notFound: 0,
  overdue: 0,
};

/** Amounts of each currency added up, sorted by its code. Exact for what a double holds exactly. */
export function addMoney(one: readonly Money[], other: readonly Money[]): Money[] {
  const sums = new Map<string, number>();
  for (const { currency, minor } of [...one, ...other]) sums.set(currency, (sums.get(currency) ?? 0) + minor);
  return [...sums].sort(([a], [b]) => (a < b ? -1 : 1)).map(([currency, minor]) => ({ currency, minor }));
}

/** Two places' figures as one. */
export function addFigures(one: Figures, other: Figures): Figures {
  return {
    things: one.things + other.things,
    worth: addMoney(one.worth, other.worth),
    estimate: addMoney(one.estimate, other.estimate),
    faulty: one.faulty + other.faulty,
    notFound: one.notFound + other.notFound,
    overdue: one.overdue + other.overdue,
  };
}

/**
 * For each place the figures of everything in it: its own and those of all that is inside of it, however deep.
 * `own` has what lies right there; a place that is not in it holds nothing. Each place counts once for every place
 * around it, also where a fault has put places into each other: then all of the ring hold the same.
 */
export function sumOutwards(
  places: readonly Pick<PlaceNode, 'id' | 'insideId'>[],
  own: ReadonlyMap<PlaceId, Figures>,
): ReadonlyMap<PlaceId, Figures> {
  const insideOf = new Map(places.map(({ id, insideId }) => [id, insideId]));
  const sums = new Map<PlaceId, Figures>();
  for (const [id, figures] of own) {
    const around = new Set<PlaceId>();
    let at: PlaceId | null | undefined = id;
    while (at !== null && at !== undefined && !around.has(at)) {
      around.add(at);
      sums.set(at, addFigures(sums.get(at) ?? NO_FIGURES, figures));
      at = insideOf.get(at);
    }
  }
  return sums;
}
