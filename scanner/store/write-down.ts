// The one way in which this phone writes: lines into the outbox, stops into theirs, each strictly, so that the disk has
// them before anybody is told. One tab writes at a time.
import type { Fact } from '#domain/count-answers.ts';
import { type ClockRunId, deviceIdSchema, makeUuidV7, type PersonId } from '#domain/ids.ts';
import type { Place } from '#domain/place.ts';
import { type NewStop, type Stop, stopSchema } from '#domain/place.ts';
import { type Database, STRICT } from './database.ts';
import { type Installation, installationSchema, type WaitingLine, type WaitingStop } from './rows.ts';
import { stampFacts } from './stamp.ts';

export const drawRandom = (bytes: number): Uint8Array => crypto.getRandomValues(new Uint8Array(bytes));

/** A new id made now on this phone. */
export const makeId = (): string => makeUuidV7(Date.now(), drawRandom(16));

/** Runs while no other tab writes. A browser without locks writes all the same: the database keeps the steps apart. */
async function asOnlyWriter<T>(write: () => Promise<T>): Promise<T> {
  return 'locks' in navigator ? await navigator.locks.request('tailcount-write', write) : write();
}

/** What is kept of this installation, or what it begins with. */
export function installationFrom(value: unknown): Installation {
  const parsed = installationSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const deviceId = deviceIdSchema.parse(makeId());
  return { deviceId, lastNo: 0, lastDeviceAt: 0, lastRun: '', clocks: [], persistAsked: false };
}

/** How far the service's clock is ahead of this phone's: as measured in this run, else as measured last, else 0. */
export function offsetOf(installation: Installation, clockRun: ClockRunId): number {
  const { clocks } = installation;
  return (clocks.find((clock) => clock.clockRun === clockRun) ?? clocks.at(-1))?.offsetMs ?? 0;
}

export interface Writer {
  readonly database: Database;
  readonly clockRun: ClockRunId;
  readonly personId: PersonId | null;
  readonly now: number;
}

/** Stamps facts and puts them into the outbox, all or none. Throws what the browser throws when the phone is full. */
export function writeLines(facts: readonly Fact[], writer: Writer): Promise<readonly WaitingLine[]> {
  const { database, clockRun, personId, now } = writer;
  return asOnlyWriter(async () => {
    const tx = database.transaction(['head', 'outbox'], 'readwrite', STRICT);
    const installation = installationFrom(await tx.objectStore('head').get('installation'));
    const stamped = stampFacts(facts, { installation, personId, clockRun, now, random: drawRandom });
    const offsetMs = offsetOf(installation, clockRun);
    const rows = stamped.lines.map((line) => {
      return { deviceNo: line.deviceNo, line, at: Math.max(0, line.deviceAt + offsetMs) };
    });
    await Promise.all([
      ...rows.map((row) => tx.objectStore('outbox').put(row, row.deviceNo)),
      tx.objectStore('head').put(stamped.installation, 'installation'),
      tx.done,
    ]);
    return rows;
  });
}

/** The stop and its place as the phone shows them until the service's own records arrive. */
export function asStop(make: NewStop): { readonly stop: Stop; readonly place: Place } {
  const { id, jobId, name, kind, zone, startsAt, unnamed } = make;
  const placeId = make.place.id;
  return {
    stop: stopSchema.parse({
      id,
      jobId,
      jobName: null,
      placeId,
      name,
      kind,
      zone,
      startsAt,
      endsAt: null,
      unnamed,
      version: 0,
    }),
    place: {
      id: placeId,
      kind,
      name: make.place.name,
      parentId: null,
      sort: 0,
      zone,
      address: null,
      note: null,
      thingId: null,
      unnamed,
      pictureIds: [],
      codes: [],
      version: 0,
    },
  };
}

/** Puts a new stop, or a new name of one, among what waits. */
export function writeStop(database: Database, row: WaitingStop): Promise<void> {
  return asOnlyWriter(async () => {
    const tx = database.transaction('outboxStop', 'readwrite', STRICT);
    await Promise.all([tx.store.put(row, row.id), tx.done]);
  });
}
