// One line of the ledger, as a device writes it down. The ledger is a set of these; everything else is
// computed from that set (laws 1 to 12, DEVELOPERS.md).
import { z } from 'zod';
import {
  clockRunIdSchema,
  deviceIdSchema,
  movementIdSchema,
  personIdSchema,
  placeIdSchema,
  stopIdSchema,
  thingIdSchema,
} from './ids.ts';

export const MOVEMENTS_PER_BATCH_MAX = 5_000;
export const NUMBER_MAX = 1_000_000_000;
const TEXT_MAX = 500;
/** A sealed case or a closing may name this many things. */
export const NAMED_THINGS_MAX = 5_000;

// Text that PostgreSQL can keep: no NUL, no lone surrogate.
export const cleanText = (max: number) =>
  z
    .string()
    .max(max)
    .refine(
      (text) => !text.includes('\u0000') && !/\p{Surrogate}/u.test(text),
      'holds a character that cannot be kept',
    );

const note = cleanText(TEXT_MAX).nullable();
const count = z.int().min(1).max(NUMBER_MAX);

/**
 * How sure a check is; the order is the rank, best first (law 9). "on-paper" is a tick on a printed sheet that was
 * entered later, dated as of then: as good as "seen", because somebody stood before the thing.
 */
export const CHECKS = [
  'scanned',
  'seen',
  'on-paper',
  'by-number',
  'by-sight',
  'with-container',
  'not-opened',
] as const;
export const checkSchema = z.enum(CHECKS);
export type Check = z.infer<typeof checkSchema>;
/** How a thing or a class asks to be answered for: nobody asks for paper. */
export const wantedCheckSchema = checkSchema.exclude(['on-paper']);
export type WantedCheck = z.infer<typeof wantedCheckSchema>;

/** Why a thing moved. The last six take it out of what a count expects aboard. */
export const REASONS = [
  'arrival',
  'load-in',
  'wrap',
  'tidy',
  'bring-in',
  'left-on-purpose',
  'with-somebody',
  'lend',
  'hand-over',
  'rent-out',
  'consumed',
] as const;
export const reasonSchema = z.enum(REASONS);
export type Reason = z.infer<typeof reasonSchema>;
export const REASONS_AWAY: readonly Reason[] = [
  'left-on-purpose',
  'with-somebody',
  'lend',
  'hand-over',
  'rent-out',
  'consumed',
];

/** What a person says about an open line that stays where the ledger has it. */
export const ABSENCES = ['not-found', 'did-not-come', 'not-ours'] as const;
export const absenceSchema = z.enum(ABSENCES);
export type Absence = z.infer<typeof absenceSchema>;

/** What the device says of itself and its clock; the service makes the effective time from it (law 4). */
const stamp = {
  id: movementIdSchema,
  deviceId: deviceIdSchema,
  deviceNo: z.int().min(1).max(NUMBER_MAX),
  deviceAt: z.int().min(0).max(8_640_000_000_000_000),
  clockRun: clockRunIdSchema,
  personId: personIdSchema.nullable(),
};
/** Where the person stood: the stop and the round of its count, if any. */
const context = { stopId: stopIdSchema.nullable(), round: z.int().min(1).max(999).nullable(), note };
const evidence = { check: checkSchema.nullable(), why: reasonSchema, spot: cleanText(TEXT_MAX).nullable() };

/** An item, a container or a vehicle went somewhere. `thingId` is null while the code read is not tied to anything. */
const move = z
  .strictObject({
    kind: z.literal('move'),
    ...stamp,
    ...context,
    ...evidence,
    thingId: thingIdSchema.nullable(),
    code: cleanText(200).nullable(),
    toId: placeIdSchema,
    /** A sealed container: the person looked at its seal and found it unbroken, so it answers for its contents (law 8). */
    sealUnbroken: z.boolean().default(false),
  })
  .refine((line) => line.thingId !== null || line.code !== null, {
    path: ['thingId'],
    message: 'names neither a thing nor the code that was read',
  });
/** So many of a counted thing or a consumable went from here to there; null is outside (bought, used up). */
const quantity = z.strictObject({
  kind: z.literal('quantity'),
  ...stamp,
  ...context,
  ...evidence,
  thingId: thingIdSchema,
  number: count,
  fromId: placeIdSchema.nullable(),
  toId: placeIdSchema.nullable(),
});
/** "n here at t": what a hand counted at a place (law 6). */
const handCount = z.strictObject({
  kind: z.literal('hand-count'),
  ...stamp,
  ...context,
  thingId: thingIdSchema,
  toId: placeIdSchema,
  number: z.int().min(0).max(NUMBER_MAX),
  check: checkSchema.nullable(),
});
/** Cancels an earlier line by its id and that line's thing (null for a line without one). */
const voidLine = z
  .strictObject({
    kind: z.literal('void'),
    ...stamp,
    ...context,
    voids: movementIdSchema,
    thingId: thingIdSchema.nullable(),
  })
  .refine((line) => line.voids.toString() !== line.id.toString(), {
    path: ['voids'],
    message: 'is this line itself; name the line that is taken back',
  });
/** A container was closed with a physical witness; notes what was inside (law 8). */
const seal = z.strictObject({
  kind: z.literal('seal'),
  ...stamp,
  ...context,
  thingId: thingIdSchema,
  contents: z.array(thingIdSchema).max(NAMED_THINGS_MAX),
  tie: cleanText(60).nullable(),
});
/** The seal of a container was opened, or found broken. */
const unseal = z.strictObject({ kind: z.literal('unseal'), ...stamp, ...context, thingId: thingIdSchema });
/**
 * A finding of absence in a count: the position stays (law 9). `shownId` names the scan the finder was shown, if
 * any; `number` says how many of a counted thing are missing (null for an item).
 */
const absence = z.strictObject({
  kind: z.literal('absence'),
  ...stamp,
  ...context,
  thingId: thingIdSchema,
  /** For counted gear, the compartment whose line this answers. */
  toId: placeIdSchema.nullable(),
  finding: absenceSchema,
  number: count.nullable(),
  shownId: movementIdSchema.nullable(),
});
/** How a compartment as a whole was answered for in a count. */
const answer = z.strictObject({
  kind: z.literal('answer'),
  ...stamp,
  ...context,
  stopId: stopIdSchema,
  round: z.int().min(1).max(999),
  toId: placeIdSchema,
  check: checkSchema,
});
/** A mark on a thing, with a few words: faulty, or a medium that holds rushes. */
const mark = z.strictObject({
  kind: z.literal('mark'),
  ...stamp,
  ...context,
  thingId: thingIdSchema,
  mark: z.enum(['faulty', 'holds-rushes']),
  on: z.boolean(),
});
/** A count was opened: of this stop and round, for this vehicle. */
const open = z.strictObject({
  kind: z.literal('open'),
  ...stamp,
  ...context,
  stopId: stopIdSchema,
  round: z.int().min(1).max(999),
  vehicleId: placeIdSchema,
});

/** One line of a count as the person who closed it saw it; kept word for word (law 10). */
export const closedLineSchema = z.strictObject({
  thingId: thingIdSchema,
  placeId: placeIdSchema.nullable(),
  name: cleanText(300),
  expected: z.int(),
  found: z.int(),
  said: z.enum([...CHECKS, ...ABSENCES, ...REASONS_AWAY, 'open']),
  lineId: movementIdSchema.nullable(),
  lastPlaceId: placeIdSchema.nullable(),
  spot: cleanText(TEXT_MAX).nullable(),
});
export type ClosedLine = z.infer<typeof closedLineSchema>;
export const closedSumsSchema = z.strictObject({
  expected: z.int(),
  aboard: z.int(),
  notFound: z.int(),
  away: z.int(),
  compartments: z.int(),
  notOpened: z.int(),
});
export type ClosedSums = z.infer<typeof closedSumsSchema>;
/** A count was closed where the person stood, with its lines and sums as known there. */
const close = z.strictObject({
  kind: z.literal('close'),
  ...stamp,
  ...context,
  stopId: stopIdSchema,
  round: z.int().min(1).max(999),
  lines: z.array(closedLineSchema).max(NAMED_THINGS_MAX),
  sums: closedSumsSchema,
});

export const movementSchema = z.discriminatedUnion('kind', [
  move,
  quantity,
  handCount,
  voidLine,
  seal,
  unseal,
  absence,
  answer,
  mark,
  open,
  close,
]);
/** A line as a device wrote it. */
export type Movement = z.infer<typeof movementSchema>;
export type MovementKind = Movement['kind'];
export type MovementOf<K extends MovementKind> = Extract<Movement, { kind: K }>;

/** A line as the ledger keeps it: with the one effective time that orders it, in UTC ms (law 4). */
export type Recorded<M extends Movement = Movement> = M & {
  readonly at: number;
  readonly timeUncertain: boolean;
};

/** What an installation measured about one run of its clock: service time less device time, in ms. */
export const clockMeasureSchema = z.strictObject({ clockRun: clockRunIdSchema, offsetMs: z.int() });
export type ClockMeasure = z.infer<typeof clockMeasureSchema>;

/** What a phone or the desk sends. `movements` are parsed one by one: a bad line never loses the good ones. */
export const batchSchema = z.strictObject({
  clocks: z.array(clockMeasureSchema).max(1_000),
  movements: z.array(z.unknown()).min(1).max(MOVEMENTS_PER_BATCH_MAX),
});
export type Batch = z.infer<typeof batchSchema>;

/** The answer to one line (law 3). */
export const lineAnswerSchema = z.discriminatedUnion('answer', [
  z.strictObject({
    answer: z.literal('recorded'),
    id: movementIdSchema,
    at: z.int(),
    timeUncertain: z.boolean(),
  }),
  z.strictObject({
    answer: z.literal('already-known'),
    id: movementIdSchema,
    at: z.int(),
    timeUncertain: z.boolean(),
  }),
  z.strictObject({
    answer: z.literal('waiting'),
    id: movementIdSchema,
    at: z.int(),
    timeUncertain: z.boolean(),
    waitsFor: z.enum(['thing', 'place', 'stop', 'movement', 'review']),
    ref: z.string(),
  }),
  z.strictObject({
    answer: z.literal('refused'),
    id: z.string().nullable(),
    index: z.int(),
    kind: z.enum(['malformed', 'id-reused', 'void-of-void']),
    detail: z.string(),
    fields: z.array(z.strictObject({ pointer: z.string(), detail: z.string() })),
  }),
]);
export type LineAnswer = z.infer<typeof lineAnswerSchema>;
export const batchAnswerSchema = z.strictObject({ answers: z.array(lineAnswerSchema) });
