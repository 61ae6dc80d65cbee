// What a reader has to have to compute everything: where each thing was at one instant, and every line since.
// The phone keeps a book of the whole outfit; the service makes one of just the things that a question touches.
import { z } from 'zod';
import { movementIdSchema, personIdSchema, placeIdSchema, stopIdSchema, thingIdSchema } from './ids.ts';
import type { Recorded } from './movement.ts';
import { reasonSchema } from './movement.ts';

/** Where one item, container or vehicle is: the destination of its latest line (law 5), and how it got there. */
export const positionSchema = z.strictObject({
  thingId: thingIdSchema,
  placeId: placeIdSchema,
  at: z.int(),
  movementId: movementIdSchema,
  spot: z.string().nullable(),
  why: reasonSchema,
  personId: personIdSchema.nullable(),
  stopId: stopIdSchema.nullable(),
});
export type Position = z.infer<typeof positionSchema>;

/** How many of a counted thing or a consumable are at a place (law 6). May be negative. */
export const levelSchema = z.strictObject({
  thingId: thingIdSchema,
  placeId: placeIdSchema,
  number: z.int(),
});
export type Level = z.infer<typeof levelSchema>;

/**
 * `base` and `levels` are the truth of all lines with `at < since` that no void names, wherever the void stands;
 * `base` has one position of a thing, and of a container that stands in a loop all of its positions (law 7);
 * `lines` are all lines with `at >= since` and every void of one of them, even an earlier one (two clocks may differ
 * by more than the time between), in any order. A line before `since` that arrives later, or a void of
 * one, makes the book stale: it has to be read again.
 */
export interface Book {
  readonly since: number;
  readonly base: readonly Position[];
  readonly levels: readonly Level[];
  readonly lines: readonly Recorded[];
}
