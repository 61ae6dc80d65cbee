// What a request says of a thing: its facts, and what is only said once.

import { z } from 'zod';
import { placeIdSchema } from '#domain/ids.ts';
import { NUMBER_MAX } from '#domain/movement.ts';
import { type ThingKind, thingFactsSchema, thingKindSchema } from '#domain/thing.ts';
import type { EnteredThing } from './keep-thing.ts';

/** The facts, and for a new thing whether it is a vehicle, where it is and how many of it. */
const openSchema = thingFactsSchema.extend({
  vehicle: z.boolean().optional(),
  placeId: placeIdSchema.optional(),
  number: z.int().min(1).max(NUMBER_MAX).optional(),
});
const hasPlaceForNumber = (said: { placeId?: unknown; number?: unknown }) =>
  said.number === undefined || said.placeId !== undefined;
const placeMissing = { path: ['placeId'], message: 'say where that many are, or leave the number out' };

export const enteredSchema = openSchema.refine(hasPlaceForNumber, placeMissing);
/** The same under /api/things, where the address does not say the kind. */
export const enteredAnyKindSchema = openSchema
  .extend({ kind: thingKindSchema })
  .refine(hasPlaceForNumber, placeMissing);

/** Takes a request that came at `now` (UTC ms) apart into the thing's facts and what is only said once. */
export function enteredFrom(kind: ThingKind, body: z.infer<typeof enteredSchema>, now: number): EnteredThing {
  const { vehicle, placeId, number, ...facts } = body;
  return {
    kind,
    facts,
    vehicle: vehicle ?? false,
    first: placeId === undefined ? null : { placeId, number: number ?? 1, at: now },
  };
}
