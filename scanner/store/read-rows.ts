// Reads the phone's database, parsing every row. What is not ours to lose (own lines) and no longer parses goes to the
// drawer with the reason; what the service has as well is asked for again.
import { z } from 'zod';
import { levelSchema, positionSchema } from '#domain/book.ts';
import { personSchema, recordedSchema } from '#domain/feed.ts';
import type { Recorded } from '#domain/movement.ts';
import { jobSchema, placeSchema, stopSchema } from '#domain/place.ts';
import { classSchema, thingSchema } from '#domain/thing.ts';
import { type Database, type RecordStore, STRICT } from './database.ts';
import type { BookParts } from './phone-book.ts';
import {
  FIRST_SETTINGS,
  type Head,
  headSchema,
  type Installation,
  installationSchema,
  type Settings,
  settingsSchema,
  type WaitingLine,
  type WaitingStop,
  waitingLineSchema,
  waitingStopSchema,
} from './rows.ts';

export interface PhoneRows {
  /** Null before the first visit is complete, and when a row of the catalogue no longer parses. */
  readonly catalogue: { readonly head: Head; readonly parts: BookParts } | null;
  readonly waiting: readonly WaitingLine[];
  readonly waitingStops: readonly WaitingStop[];
  readonly settings: Settings;
  readonly inDrawer: number;
}

async function readRecords<S extends z.ZodType>(
  database: Database,
  store: RecordStore,
  schema: S,
): Promise<readonly z.infer<S>[] | null> {
  const parsed = z.array(schema).safeParse(await database.getAll(store));
  return parsed.success ? parsed.data : null;
}

/** Own rows. One that does not parse is moved to the drawer in the same step in which it leaves its store. */
async function readOwn<S extends z.ZodType>(
  database: Database,
  store: 'outbox' | 'outboxStop',
  schema: S,
): Promise<readonly z.infer<S>[]> {
  const tx = database.transaction([store, 'drawer'], 'readwrite', STRICT);
  const good: z.infer<S>[] = [];
  for (let cursor = await tx.objectStore(store).openCursor(); cursor; cursor = await cursor.continue()) {
    const parsed = schema.safeParse(cursor.value);
    if (parsed.success) {
      good.push(parsed.data);
      continue;
    }
    const key = `${store} ${cursor.key}`;
    const why = `No longer readable: ${z.prettifyError(parsed.error)}`;
    await tx.objectStore('drawer').put({ key, what: 'row', why, at: 0, body: cursor.value }, key);
    await cursor.delete();
  }
  await tx.done;
  return good;
}

/** Reads the catalogue and the book. `at` and `cursor` stand in its head. */
async function readCatalogue(database: Database): Promise<PhoneRows['catalogue']> {
  const head = headSchema.safeParse(await database.get('head', 'catalogue'));
  const base = z.array(positionSchema).safeParse(await database.get('head', 'base'));
  const levels = z.array(levelSchema).safeParse(await database.get('head', 'levels'));
  if (!head.success || !base.success || !levels.success) return null;
  const [people, classes, places, things, stops, jobs, recorded] = await Promise.all([
    readRecords(database, 'person', personSchema),
    readRecords(database, 'class', classSchema),
    readRecords(database, 'place', placeSchema),
    readRecords(database, 'thing', thingSchema),
    readRecords(database, 'stop', stopSchema),
    readRecords(database, 'job', jobSchema),
    readRecords(database, 'line', recordedSchema),
  ]);
  if (!people || !classes || !places || !things || !stops || !jobs || !recorded) return null;
  const { outfit, since } = head.data;
  const lines = recorded.map(({ line, at, timeUncertain }) => ({ ...line, at, timeUncertain }));
  const parts = { outfit, since, base: base.data, levels: levels.data };
  return { head: head.data, parts: { ...parts, people, classes, places, things, stops, jobs, lines } };
}

export async function readPhoneRows(database: Database): Promise<PhoneRows> {
  const waiting = await readOwn(database, 'outbox', waitingLineSchema);
  const waitingStops = await readOwn(database, 'outboxStop', waitingStopSchema);
  const settings = settingsSchema.safeParse(await database.get('head', 'settings'));
  return {
    catalogue: await readCatalogue(database),
    waiting,
    waitingStops,
    settings: settings.success ? settings.data : FIRST_SETTINGS,
    inDrawer: await database.count('drawer'),
  };
}

/** The stops that the service has, and those that wait for it. The first is null when a row of them no longer parses. */
export async function readStopRows(database: Database) {
  const waitingStops = await readOwn(database, 'outboxStop', waitingStopSchema);
  const stops = await readRecords(database, 'stop', stopSchema);
  return { stops, waitingStops, inDrawer: await database.count('drawer') };
}

export async function readInstallation(database: Database): Promise<Installation | null> {
  const parsed = installationSchema.safeParse(await database.get('head', 'installation'));
  return parsed.success ? parsed.data : null;
}

/** A line that waits, as the phone's own book has it: its time is the phone's guess until the service says. */
export function asRecorded({ line, at }: WaitingLine): Recorded {
  return { ...line, at, timeUncertain: true };
}
