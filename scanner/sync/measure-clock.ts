// How far the service's clock is ahead of this phone's (law 4).
import { z } from 'zod';
import type { ClockRunId } from '#domain/ids.ts';
import { type Database, STRICT } from '../store/database.ts';
import { installationFrom } from '../store/write-down.ts';
import { ask } from './ask.ts';

const TRIES = 3;
const RUNS_KEPT = 200;
const timeSchema = z.strictObject({ at: z.int() });

/** One question and its answer: phone time when it was sent and when it came back, and the service's time between. */
export interface Measured {
  readonly sentAt: number;
  readonly cameAt: number;
  readonly serviceAt: number;
}

/** The offset by the quickest of several questions, halving its way: whole ms. Null where there is none. */
export function offsetFrom(measured: readonly Measured[]): number | null {
  const [quickest] = [...measured].sort((a, b) => a.cameAt - a.sentAt - (b.cameAt - b.sentAt));
  if (quickest === undefined) return null;
  return Math.round(quickest.serviceAt - (quickest.sentAt + quickest.cameAt) / 2);
}

/** Measures this run once and keeps it. True when the service answered. A run that is measured stays as it is. */
export async function measureClock(database: Database, clockRun: ClockRunId): Promise<boolean> {
  const known = installationFrom(await database.get('head', 'installation'));
  if (known.clocks.some((clock) => clock.clockRun === clockRun)) return true;
  const measured: Measured[] = [];
  for (let tries = 0; tries < TRIES; tries += 1) {
    const sentAt = Date.now();
    const reply = await ask('/api/time');
    const time = reply.kind === 'answer' ? timeSchema.safeParse(reply.body) : null;
    if (!time?.success) return false;
    measured.push({ sentAt, cameAt: Date.now(), serviceAt: time.data.at });
  }
  const offsetMs = offsetFrom(measured) ?? 0;
  const tx = database.transaction('head', 'readwrite', STRICT);
  const now = installationFrom(await tx.store.get('installation'));
  const clocks = [...now.clocks.filter((clock) => clock.clockRun !== clockRun), { clockRun, offsetMs }];
  await tx.store.put({ ...now, clocks: clocks.slice(-RUNS_KEPT) }, 'installation');
  await tx.done;
  return true;
}
