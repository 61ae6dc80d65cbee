// What a search answers: things and places, each with why it was found and where it is now.
import { z } from 'zod';
import { placeIdSchema } from './ids.ts';
import { placeSchema } from './place.ts';
import { thingSchema } from './thing.ts';

/** Why something was found, best first; "listed" is what passes the filters when nothing was typed. */
export const MATCHES = ['code', 'beginning', 'part', 'alike', 'listed'] as const;
export const matchSchema = z.enum(MATCHES);
export type Match = z.infer<typeof matchSchema>;

/** What one can ask for besides kinds of things: the places alone. */
export const SEARCH_KINDS = ['item', 'counted', 'consumable', 'place'] as const;
/** What somebody has to see to, as the tree of places counts it. */
export const SEARCH_MATTERS = ['faulty', 'not-found', 'overdue'] as const;
/** How what was found is sorted: how well it fits, by name, the dearest first, what was put down last first. */
export const SEARCH_ORDERS = ['fit', 'name', 'value', 'put-down'] as const;

/** A place by its name, in the way from where a thing is outwards to what stands nowhere else. */
const stepSchema = z.strictObject({ id: placeIdSchema, name: z.string() });
export const foundAtSchema = z.strictObject({
  /** How many of it are there; 1 for an item. May be negative until a missing line arrives (law 6). */
  number: z.int(),
  /** A few words on where exactly it was put down. */
  spot: z.string().nullable(),
  /** The place first, then what that is inside of now. Never empty. */
  chain: z.array(stepSchema),
});
export type FoundAt = z.infer<typeof foundAtSchema>;

export const searchHitSchema = z.union([
  /** `at` is empty where nobody put it down anywhere yet. */
  z.strictObject({ match: matchSchema, thing: thingSchema, place: z.null(), at: z.array(foundAtSchema) }),
  /** `at` is what the place itself is inside of. */
  z.strictObject({ match: matchSchema, thing: z.null(), place: placeSchema, at: z.array(foundAtSchema) }),
]);
export type SearchHit = z.infer<typeof searchHitSchema>;

export const searchAnswerSchema = z.strictObject({
  hits: z.array(searchHitSchema),
  /** How many there are on all pages, counted up to 10,000. */
  all: z.int(),
  /** How many come before this page. */
  skip: z.int(),
  next: z.string().nullable(),
});
