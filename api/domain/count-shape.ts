// The shape of a count as phone, desk and service read it. How it is computed stands in count.ts.
import { z } from 'zod';
import { positionSchema } from './book.ts';
import {
  countIdSchema,
  deviceIdSchema,
  movementIdSchema,
  personIdSchema,
  placeIdSchema,
  stopIdSchema,
  thingIdSchema,
} from './ids.ts';
import {
  ABSENCES,
  CHECKS,
  checkSchema,
  closedLineSchema,
  closedSumsSchema,
  REASONS_AWAY,
} from './movement.ts';
import { outThereSchema } from './out-there.ts';
import { thingKindSchema, whoseSchema } from './thing.ts';

/** What answers a line: a check, a finding of absence, or a movement that took it elsewhere on purpose. */
export const lineSaidSchema = z.strictObject({
  said: z.enum([...CHECKS, ...ABSENCES, ...REASONS_AWAY]),
  /** The ledger line that says so; for "with its container" the container's, for "not opened" the answer's. */
  lineId: movementIdSchema,
  at: z.int(),
  personId: personIdSchema.nullable(),
  deviceId: deviceIdSchema.nullable(),
  note: z.string().nullable(),
});
export type LineSaid = z.infer<typeof lineSaidSchema>;

/** Why a line stands where it does in the list of what is open: first what cannot be replaced. */
export const URGENCIES = ['cannot-be-replaced', 'stops-the-shoot', 'by-value'] as const;

export const countLineSchema = z.strictObject({
  thingId: thingIdSchema,
  kind: thingKindSchema,
  name: z.string(),
  whose: whoseSchema,
  /** For counted gear: the place aboard whose number this line is about. Null for an item. */
  placeId: placeIdSchema.nullable(),
  /** The compartment (or the vehicle itself) it was in when the day began, came into, or belongs in: where it is shown. */
  compartmentId: placeIdSchema,
  expected: z.int(),
  /** Items: 0 or 1. Counted gear: the number the latest hand count since opening says, null without one. */
  found: z.int().nullable(),
  /** How many of the expected a standing finding says are absent: 0 or 1 for an item. */
  absent: z.int(),
  /**
   * open: nobody has said. short: counted, fewer than expected, and nobody has said where the rest is.
   * aboard: checked. absent: a finding of absence stands. away: left, lent, handed over or consumed by a line.
   */
  state: z.enum(['open', 'short', 'aboard', 'absent', 'away']),
  said: lineSaidSchema.nullable(),
  /** How its class (or itself) wants to be answered for. */
  check: checkSchema,
  urgency: z.enum(URGENCIES),
  /** 0 to 3, of its class. */
  forgotten: z.int(),
  /** Where it was last put down, by whom, with the spot. */
  last: positionSchema.nullable(),
  /** Counted gear: how many the ledger has at `placeId` now (law 6, may be negative). Null for an item. */
  here: z.int().nullable(),
  /** Counted gear: what went out of `placeId` today by number and still stands where it went, the last place first. */
  outThere: z.array(outThereSchema),
  /** The place in a hotel where it, or the container it was in, stood when the day began; null for what was aboard. */
  roomId: placeIdSchema.nullable(),
  /** It went out of the vehicle by a line since it was aboard (a load-in scan says where to look). */
  wentOut: z.boolean(),
  /** Since when it is missing: the `at` of the earliest standing finding of absence; null when none stands. */
  missingSince: z.int().nullable(),
  faulty: z.string().nullable(),
});
export type CountLine = z.infer<typeof countLineSchema>;

export const compartmentAnswerSchema = z.strictObject({
  placeId: placeIdSchema,
  name: z.string(),
  /** Its own answer, or the weakest check of its lines when all of them are answered aboard; null while it waits. */
  answer: checkSchema.nullable(),
  lines: z.int(),
  open: z.int(),
});
export type CompartmentAnswer = z.infer<typeof compartmentAnswerSchema>;

export const misplacedSchema = z.strictObject({
  thingId: thingIdSchema,
  name: z.string(),
  placeId: placeIdSchema,
  homePlaceId: placeIdSchema,
});
export const refillSchema = z.strictObject({
  thingId: thingIdSchema,
  name: z.string(),
  unit: z.string().nullable(),
  number: z.int(),
  par: z.int(),
});

export const countSchema = z.strictObject({
  id: countIdSchema,
  stopId: stopIdSchema,
  stopName: z.string(),
  round: z.int(),
  vehicleId: placeIdSchema,
  vehicleName: z.string(),
  openedAt: z.int(),
  /** The instant the working day began: what was aboard then is expected, and what came aboard until the opening. */
  dayBeganAt: z.int(),
  lines: z.array(countLineSchema),
  compartments: z.array(compartmentAnswerSchema),
  /** Scans since opening that are no line: unknown codes and things that were not expected aboard. */
  extras: z.array(
    z.strictObject({
      lineId: movementIdSchema,
      at: z.int(),
      thingId: thingIdSchema.nullable(),
      name: z.string().nullable(),
      code: z.string().nullable(),
      whose: whoseSchema.nullable(),
      note: z.string().nullable(),
    }),
  ),
  misplaced: z.array(misplacedSchema),
  refill: z.array(refillSchema),
  sums: closedSumsSchema,
  /** Every line and every compartment has an answer: it may close. */
  mayClose: z.boolean(),
  /** Every line is aboard or away and no compartment is "not opened". */
  allAboard: z.boolean(),
  closed: z
    .strictObject({
      lineId: movementIdSchema,
      at: z.int(),
      personId: personIdSchema.nullable(),
      lines: z.array(closedLineSchema),
      sums: closedSumsSchema,
    })
    .nullable(),
});
export type Count = z.infer<typeof countSchema>;
