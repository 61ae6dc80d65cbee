// What somebody should look at: lines that wait, codes that nobody knows, loops of containers, clocks that were wrong,
// and what phones could not use. Nothing of it is lost or in a hurry; each has a way to be settled or left as it is.
import { z } from 'zod';
import { deviceIdSchema, movementIdSchema, placeIdSchema, plainIdSchema, thingIdSchema } from './ids.ts';
import { cleanText } from './movement.ts';

export const MATTERS = ['waiting', 'loop', 'clock', 'leftover', 'code'] as const;
export const matterSchema = z.enum(MATTERS);
export type Matter = z.infer<typeof matterSchema>;

/** When somebody looked at a matter and left it as it is, UTC ms; null while nobody has. */
const lookedAt = z.int().nullable();
const matterRow = { ref: z.string(), lookedAt, isOpen: z.boolean() };

/** One line of a group, short. */
const waitingLineSchema = z.strictObject({
  id: movementIdSchema,
  kind: z.string(),
  at: z.int(),
  timeUncertain: z.boolean(),
  thingName: z.string().nullable(),
  placeName: z.string().nullable(),
  number: z.int().nullable(),
  code: z.string().nullable(),
  note: z.string().nullable(),
});

export const WAITS_FOR = ['thing', 'place', 'stop', 'movement', 'review'] as const;
/** All lines that wait for the same thing, place, stop or line, or for the same review. `forId`: its id. */
export const waitingGroupSchema = z.strictObject({
  ...matterRow,
  waitsFor: z.enum(WAITS_FOR),
  forId: z.string(),
  number: z.int(),
  firstAt: z.int(),
  receivedAt: z.int(),
  devices: z.array(z.string()),
  /** The latest of them, at most 20. */
  lines: z.array(waitingLineSchema),
});
export type WaitingGroup = z.infer<typeof waitingGroupSchema>;

/** A container whose latest line closes a loop (law 7), and where it counts as being instead. */
export const loopMatterSchema = z.strictObject({
  ...matterRow,
  thingId: thingIdSchema,
  name: z.string(),
  lineId: movementIdSchema,
  at: z.int(),
  toId: placeIdSchema,
  toName: z.string(),
  countsAtId: placeIdSchema.nullable(),
  countsAtName: z.string().nullable(),
  device: z.string().nullable(),
  /** The names around the ring, this container first. */
  ring: z.array(z.string()),
});
export type LoopMatter = z.infer<typeof loopMatterSchema>;

/** A run of a device's clock whose times are not sure. */
export const clockMatterSchema = z.strictObject({
  ...matterRow,
  deviceId: deviceIdSchema,
  device: z.string(),
  runId: plainIdSchema,
  /** How far the whole run was moved: positive is later than the device said. */
  offsetMs: z.int(),
  measured: z.boolean(),
  number: z.int(),
  firstAt: z.int(),
  lastAt: z.int(),
});
export type ClockMatter = z.infer<typeof clockMatterSchema>;

/** A code that was scanned and means nothing here. */
export const codeMatterSchema = z.strictObject({
  ...matterRow,
  code: z.string(),
  number: z.int(),
  firstAt: z.int(),
  lastAt: z.int(),
  placeId: placeIdSchema.nullable(),
  placeName: z.string().nullable(),
  device: z.string().nullable(),
  note: z.string().nullable(),
});
export type CodeMatter = z.infer<typeof codeMatterSchema>;

/** As much text as a leftover may be: the longest line of the ledger there can be stays well below. */
export const LEFTOVER_MAX = 4_000_000;
export const leftoverFactsSchema = z.strictObject({
  deviceId: deviceIdSchema,
  what: z.enum(['movement', 'stop', 'row']),
  /** Why it cannot be used, in the words of whoever refused it. */
  why: cleanText(4_000),
  /** When the phone put it aside, UTC ms by its own clock. */
  at: z.int().min(0).max(8_640_000_000_000_000),
  text: cleanText(LEFTOVER_MAX),
});
export type LeftoverFacts = z.infer<typeof leftoverFactsSchema>;
export const leftoverSchema = z.strictObject({
  ...matterRow,
  id: plainIdSchema,
  deviceId: deviceIdSchema,
  device: z.string().nullable(),
  what: leftoverFactsSchema.shape.what,
  why: z.string(),
  at: z.int(),
  receivedAt: z.int(),
  characters: z.int(),
});
export type Leftover = z.infer<typeof leftoverSchema>;

/** How many of each are open. */
export const matterSumsSchema = z.strictObject({
  waiting: z.int(),
  codes: z.int(),
  loops: z.int(),
  clocks: z.int(),
  leftovers: z.int(),
  open: z.int(),
});
export type MatterSums = z.infer<typeof matterSumsSchema>;

/** A matter is open until somebody has looked at it, and again when more of it has come since. */
export function isOpenMatter(looked: number | null, lastAt: number): boolean {
  return looked === null || lastAt > looked;
}
