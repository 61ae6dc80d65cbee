// How a thing was answered for at the wraps that it was part of, as each count was closed.
import { z } from 'zod';
import { personIdSchema, placeIdSchema, stopIdSchema } from './ids.ts';
import { closedLineSchema } from './movement.ts';

export const wrapCheckSchema = z.strictObject({
  stopId: stopIdSchema,
  round: z.int(),
  stopName: z.string(),
  zone: z.string(),
  /** When the count was closed, UTC ms. */
  closedAt: z.int(),
  /** For counted gear, the place whose number this was about. Null for an item. */
  placeId: placeIdSchema.nullable(),
  expected: z.int(),
  found: z.int(),
  said: closedLineSchema.shape.said,
  /** Who said it; null where nobody did. */
  personId: personIdSchema.nullable(),
});
export type WrapCheck = z.infer<typeof wrapCheckSchema>;
