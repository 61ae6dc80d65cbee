// What a phone or a desk reads to have, and to keep, a book of the whole outfit.
import { z } from 'zod';
import { levelSchema, positionSchema } from './book.ts';
import { personIdSchema, plainIdSchema } from './ids.ts';
import { movementSchema } from './movement.ts';
import { jobSchema, outfitSchema, placeSchema, stopSchema } from './place.ts';
import { classSchema, thingSchema } from './thing.ts';

/** A place in the feed. The token tells a restored database from the one the number was read from. */
export const cursorSchema = z.strictObject({ no: z.int().min(0), token: z.string() });
export type Cursor = z.infer<typeof cursorSchema>;

export const personSchema = z.strictObject({ id: personIdSchema, name: z.string(), role: z.string() });
export type Person = z.infer<typeof personSchema>;

/** A line of the ledger on the wire: as the device wrote it, with its effective time beside it. */
export const recordedSchema = z.strictObject({
  line: movementSchema,
  at: z.int(),
  timeUncertain: z.boolean(),
});

export const catalogueSchema = z.strictObject({
  cursor: cursorSchema,
  /** The service's time when this was read, UTC ms. */
  at: z.int(),
  outfit: outfitSchema,
  people: z.array(personSchema),
  classes: z.array(classSchema),
  places: z.array(placeSchema),
  things: z.array(thingSchema),
  stops: z.array(stopSchema),
  jobs: z.array(jobSchema),
  /** The book (book.ts). */
  since: z.int(),
  base: z.array(positionSchema),
  levels: z.array(levelSchema),
  lines: z.array(recordedSchema),
});
export type Catalogue = z.infer<typeof catalogueSchema>;

/** One change: the record as it is now. A movement comes as its line. */
export const changeSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('movement'), no: z.int(), body: recordedSchema }),
  z.strictObject({ kind: z.literal('thing'), no: z.int(), body: thingSchema }),
  z.strictObject({ kind: z.literal('place'), no: z.int(), body: placeSchema }),
  z.strictObject({ kind: z.literal('class'), no: z.int(), body: classSchema }),
  z.strictObject({ kind: z.literal('stop'), no: z.int(), body: stopSchema }),
  z.strictObject({ kind: z.literal('job'), no: z.int(), body: jobSchema }),
  z.strictObject({ kind: z.literal('person'), no: z.int(), body: personSchema }),
  z.strictObject({ kind: z.literal('outfit'), no: z.int(), body: outfitSchema }),
  z.strictObject({ kind: z.literal('gone'), no: z.int(), of: z.string(), ref: plainIdSchema }),
]);
export type Change = z.infer<typeof changeSchema>;

export const feedPageSchema = z.strictObject({
  changes: z.array(changeSchema),
  cursor: cursorSchema,
  more: z.boolean(),
});
export type FeedPage = z.infer<typeof feedPageSchema>;
