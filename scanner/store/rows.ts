// What the phone keeps in IndexedDB, row by row. A row may be older than this code, so each one is parsed again.
import { z } from 'zod';
import { cursorSchema } from '#domain/feed.ts';
import { deviceIdSchema, movementIdSchema, personIdSchema, stopIdSchema } from '#domain/ids.ts';
import { clockMeasureSchema, movementSchema } from '#domain/movement.ts';
import { newStopSchema, outfitSchema } from '#domain/place.ts';

/** What stands at the head of the catalogue that this phone has. */
export const headSchema = z.strictObject({
  cursor: cursorSchema,
  at: z.int(),
  since: z.int(),
  outfit: outfitSchema,
});
export type Head = z.infer<typeof headSchema>;

/** This installation: who it is, the last number it gave a line, and what it measured of its clocks. */
export const installationSchema = z.strictObject({
  deviceId: deviceIdSchema,
  lastNo: z.int().min(0),
  lastDeviceAt: z.int().min(0),
  lastRun: z.string(),
  clocks: z.array(clockMeasureSchema).max(1_000),
  persistAsked: z.boolean(),
});
export type Installation = z.infer<typeof installationSchema>;

/** A line that the service has not acknowledged. `at` is what the phone takes its time to be until then. */
export const waitingLineSchema = z.strictObject({
  deviceNo: z.int().min(1),
  line: movementSchema,
  at: z.int(),
});
export type WaitingLine = z.infer<typeof waitingLineSchema>;

/** A stop made on this phone, and the name it was given later; each null once the service has it. */
export const waitingStopSchema = z.strictObject({
  id: stopIdSchema,
  make: newStopSchema.nullable(),
  name: z.string().nullable(),
  madeAt: z.int(),
});
export type WaitingStop = z.infer<typeof waitingStopSchema>;

/** A line of this phone that the service has; kept for 60 days in case the service loses it (law 11). */
export const keptLineSchema = z.strictObject({
  id: movementIdSchema,
  line: movementSchema,
  at: z.int(),
  timeUncertain: z.boolean(),
  keptAt: z.int(),
});
export type KeptLine = z.infer<typeof keptLineSchema>;

/** What can't be used as it is; a person looks at it and empties it. */
export const drawerRowSchema = z.strictObject({
  key: z.string(),
  what: z.enum(['movement', 'stop', 'row']),
  why: z.string(),
  at: z.int(),
  body: z.unknown(),
  /** Whether the service has a copy; absent while it was not asked. */
  handed: z.enum(['yes', 'refused']).optional(),
});
export type DrawerRow = z.infer<typeof drawerRowSchema>;

export const settingsSchema = z.strictObject({ personId: personIdSchema.nullable() });
export type Settings = z.infer<typeof settingsSchema>;
export const FIRST_SETTINGS: Settings = { personId: null };

/** The screen that was open, so that a page that was closed by the phone opens there again. */
export const draftSchema = z.strictObject({ route: z.unknown(), at: z.int() });
