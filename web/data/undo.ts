// Undo at the desk: a void, written by this browser as a device of its own.
import { z } from 'zod';
import { makeUuidV7 } from '#domain/ids.ts';
import { batchAnswerSchema, type Recorded } from '#domain/movement.ts';
import { ask, type Refused } from './ask.ts';

const KEY = 'tailcount-desk-device';
const deviceSchema = z.strictObject({ id: z.uuid(), no: z.int() });
// One run of this page's clock.
const clockRun = crypto.randomUUID();

function readDevice(): z.infer<typeof deviceSchema> {
  try {
    return deviceSchema.parse(JSON.parse(localStorage.getItem(KEY) ?? ''));
  } catch {
    // Nothing kept, or nothing that can be read: a new device begins.
    return { id: crypto.randomUUID(), no: 0 };
  }
}

function nextNumber(): { readonly deviceId: string; readonly deviceNo: number } {
  const { id, no } = readDevice();
  try {
    localStorage.setItem(KEY, JSON.stringify({ id, no: no + 1 }));
  } catch {
    // A private window keeps nothing: each line is then of a device of its own.
  }
  return { deviceId: id, deviceNo: no + 1 };
}

const timeSchema = z.strictObject({ at: z.int() });

function refused(sentence: string): Refused {
  return { ok: false, status: 422, kind: 'refused', sentence };
}

/** Writes the void of a line; null when it is in the ledger. */
export async function undo(line: Recorded): Promise<Refused | null> {
  const time = await ask('/api/time', timeSchema);
  if (!time.ok) return time;
  const deviceAt = Date.now();
  const voidLine = {
    kind: 'void',
    id: makeUuidV7(deviceAt, crypto.getRandomValues(new Uint8Array(16))),
    ...nextNumber(),
    deviceAt,
    clockRun,
    personId: null,
    stopId: line.stopId,
    round: line.round,
    note: null,
    voids: line.id,
    thingId: 'thingId' in line ? line.thingId : null,
  };
  const body = { clocks: [{ clockRun, offsetMs: time.body.at - deviceAt }], movements: [voidLine] };
  const answer = await ask('/api/movements', batchAnswerSchema, { method: 'POST', body });
  if (!answer.ok) return answer;
  const [said] = answer.body.answers;
  return said?.answer === 'refused' ? refused(said.detail) : null;
}
