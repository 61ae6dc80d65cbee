// The desk's own lines of the ledger: this browser writes them as a device of its own, stamped against the service's clock.
import { z } from 'zod';
import type { Fact } from '#domain/count-answers.ts';
import { clockRunIdSchema, makeUuidV7 } from '#domain/ids.ts';
import { batchAnswerSchema, type ClockMeasure, type Movement, movementSchema } from '#domain/movement.ts';
import { type Asked, ask, type Refused } from './ask.ts';

const KEY = 'tailcount-desk-device';
const deviceSchema = z.strictObject({ id: z.uuid(), no: z.int() });
// One run of this page's clock.
const clockRun = clockRunIdSchema.parse(crypto.randomUUID());

function readDevice(): z.infer<typeof deviceSchema> {
  try {
    return deviceSchema.parse(JSON.parse(localStorage.getItem(KEY) ?? ''));
  } catch {
    // Nothing kept, or nothing that can be read: a new device begins.
    return { id: crypto.randomUUID(), no: 0 };
  }
}

/** Takes so many numbers of this device; the first of them. */
function takeNumbers(count: number): { readonly deviceId: string; readonly firstNo: number } {
  const { id, no } = readDevice();
  try {
    localStorage.setItem(KEY, JSON.stringify({ id, no: no + count }));
  } catch {
    // A private window keeps nothing: each line is then of a device of its own.
  }
  return { deviceId: id, firstNo: no + 1 };
}

function stampFacts(facts: readonly Fact[], now: number): readonly Movement[] {
  const { deviceId, firstNo } = takeNumbers(facts.length);
  // All are of one millisecond, and then the ledger orders by id (law 4): so the ids rise with the facts.
  const ids = facts.map(() => makeUuidV7(now, crypto.getRandomValues(new Uint8Array(16)))).sort();
  return facts.map((fact, index) => {
    const id = ids[index];
    const stamp = { id, deviceId, deviceNo: firstNo + index, deviceAt: now, clockRun, personId: null };
    return movementSchema.parse({ ...fact, ...stamp });
  });
}

const timeSchema = z.strictObject({ at: z.int() });
const refused = (sentence: string): Refused => ({ ok: false, status: 422, kind: 'refused', sentence });

async function sendLines(
  lines: readonly Movement[],
  clocks: readonly ClockMeasure[],
): Promise<Asked<readonly Movement[]>> {
  const body = { clocks, movements: lines };
  const answer = await ask('/api/movements', batchAnswerSchema, { method: 'POST', body });
  if (!answer.ok) return answer;
  const bad = answer.body.answers.find((said) => said.answer === 'refused');
  return bad ? refused(bad.detail) : { ok: true, body: lines, version: null };
}

/**
 * Writes facts into the ledger, in this order. The lines as they were written, for undo; or why one was refused (the
 * others are in the ledger then, and the screen shows them as soon as it hears of the change).
 */
export async function writeFacts(facts: readonly Fact[]): Promise<Asked<readonly Movement[]>> {
  const time = await ask('/api/time', timeSchema);
  if (!time.ok) return time;
  const now = Date.now();
  return sendLines(stampFacts(facts, now), [{ clockRun, offsetMs: time.body.at - now }]);
}

/** Lines that were told by hand, ready to be sent, also again: a repeat is harmless. */
export interface ToldLines {
  readonly lines: readonly Movement[];
  readonly clocks: readonly ClockMeasure[];
}

/**
 * Facts of an earlier time, `asOf` (UTC ms), a millisecond after each other. They are of an installation and a clock of
 * their own: this browser's numbers only rise in time, so its own lines could not stand before those it has written (law 4).
 */
export function stampAsOf(facts: readonly Fact[], asOf: number): ToldLines {
  const own = { deviceId: crypto.randomUUID(), clockRun: crypto.randomUUID(), personId: null };
  const lines = facts.map((fact, index) => {
    const id = makeUuidV7(Date.now(), crypto.getRandomValues(new Uint8Array(16)));
    const stamp = { id, ...own, deviceNo: index + 1, deviceAt: asOf + index };
    return movementSchema.parse({ ...fact, ...stamp });
  });
  return { lines, clocks: [{ clockRun: clockRunIdSchema.parse(own.clockRun), offsetMs: 0 }] };
}

/** Writes what was told by hand. */
export const writeTold = ({ lines, clocks }: ToldLines): Promise<Asked<readonly Movement[]>> =>
  sendLines(lines, clocks);

/** What takes a line back. */
export const voidOf = (line: Movement): Fact => ({
  kind: 'void',
  stopId: line.stopId,
  round: line.round,
  note: null,
  voids: line.id,
  thingId: 'thingId' in line ? line.thingId : null,
});
