// Lines that the service writes itself, such as a count closed at the desk: stamped by the service's own device, stored
// through the one write path, in the caller's transaction.
import { randomBytes, randomUUID } from 'node:crypto';
import type { Fact } from '#domain/count-answers.ts';
import { clockRunIdSchema, makeUuidV7 } from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import { movementSchema } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';
import { timeNewLines } from './effective-time.ts';
import { storeLines } from './store-lines.ts';

/** The installation under which the service writes; any id that no phone has, drawn once. */
const SERVICE_DEVICE = '3b7c9a52-6a0e-4a55-9a1c-5f0e2d8b7c14';

/** The next number of the service's own lines; whoever asks has the service's device to itself until the commit. */
async function takeStamp(tx: Tx, now: number, lines: number) {
  const device = { id: SERVICE_DEVICE, name: 'The service', kind: 'service' };
  await tx`insert into device ${tx(device)} on conflict (id) do nothing`;
  await tx`select from device where id = ${SERVICE_DEVICE} for update`;
  const [last] = await tx<{ id: string; no: number; at: number }[]>`
    select id, last_no as no, last_at as at from clock_run where device_id = ${SERVICE_DEVICE}
    order by last_no desc limit 1`;
  // The service's clock is the clock that all others are measured against: its lines are all of one run.
  const clockRun = clockRunIdSchema.parse(last?.id ?? randomUUID());
  // Times rise with numbers, a millisecond each, and end now unless the service has been writing faster than that.
  const deviceAt = Math.max(now - lines + 1, (last?.at ?? 0) + 1);
  return { deviceNo: (last?.no ?? 0) + 1, deviceAt, clockRun };
}

/** Writes what the service says at `now` (UTC ms), or as soon after as order allows. Everything named must be known. */
export async function recordAsService(tx: Tx, facts: readonly Fact[], now: number): Promise<void> {
  if (facts.length === 0) return;
  const first = await takeStamp(tx, now, facts.length);
  const lines = facts.map((fact, index) => {
    const stamp = { ...first, deviceNo: first.deviceNo + index, deviceAt: first.deviceAt + index };
    const id = makeUuidV7(stamp.deviceAt, randomBytes(16));
    return movementSchema.parse({ ...fact, id, deviceId: SERVICE_DEVICE, ...stamp, personId: null });
  });
  const times = await timeNewLines(tx, lines, [{ clockRun: first.clockRun, offsetMs: 0 }], now);
  const timed = lines.flatMap((line) => {
    const time = times.get(line.id);
    return time === undefined ? [] : [{ line, ...time, receivedAt: now }];
  });
  const became = await storeLines(tx, timed);
  const stored = [...became.values()].filter((what) => 'stored' in what);
  assert(stored.length === facts.length, 'what the service says names only what it has just seen');
}
