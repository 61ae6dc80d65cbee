// Writes the first line of things' histories through the one write path, in the transaction that enters them.
import { randomBytes, randomUUID } from 'node:crypto';
import { clockRunIdSchema, makeUuidV7, type PlaceId, type ThingId } from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import { type Movement, movementSchema } from '#domain/movement.ts';
import type { ThingKind } from '#domain/thing.ts';
import type { Tx } from '../database/decide.ts';
import { timeNewLines } from '../movements/effective-time.ts';
import { storeLines } from '../movements/store-lines.ts';

/** The installation under which the service writes lines itself; any id that no phone has, drawn once. */
const SERVICE_DEVICE = '3b7c9a52-6a0e-4a55-9a1c-5f0e2d8b7c14';

export interface PutDown {
  readonly thingId: ThingId;
  readonly kind: ThingKind;
  readonly placeId: PlaceId;
  /** 1 for an item. */
  readonly number: number;
}
interface Stamp {
  readonly deviceNo: number;
  readonly deviceAt: number;
  readonly clockRun: string;
}

/** The next number of the service's own lines; whoever asks has the service's device to itself until the commit. */
async function takeStamp(tx: Tx, now: number, lines: number): Promise<Stamp> {
  const device = { id: SERVICE_DEVICE, name: 'The service', kind: 'service' };
  await tx`insert into device ${tx(device)} on conflict (id) do nothing`;
  await tx`select from device where id = ${SERVICE_DEVICE} for update`;
  const [last] = await tx<{ id: string; no: number; at: number }[]>`
    select id, last_no as no, last_at as at from clock_run where device_id = ${SERVICE_DEVICE}
    order by last_no desc limit 1`;
  // The service's clock is the clock that all others are measured against: its lines are all of one run.
  const clockRun = last?.id ?? randomUUID();
  // Times rise with numbers, a millisecond each, and end now unless the service has been writing faster than that.
  const deviceAt = Math.max(now - lines + 1, (last?.at ?? 0) + 1);
  return { deviceNo: (last?.no ?? 0) + 1, deviceAt, clockRun };
}

function lineOf(put: PutDown, first: Stamp, index: number): Movement {
  const { thingId, kind, placeId, number } = put;
  const stamp = { ...first, deviceNo: first.deviceNo + index, deviceAt: first.deviceAt + index };
  const said = {
    id: makeUuidV7(stamp.deviceAt, randomBytes(16)),
    deviceId: SERVICE_DEVICE,
    ...stamp,
    personId: null,
    stopId: null,
    round: null,
    note: null,
    check: null,
    why: 'arrival',
    spot: null,
    thingId,
    toId: placeId,
  };
  return movementSchema.parse(
    kind === 'item'
      ? { ...said, kind: 'move', code: null }
      : { ...said, kind: 'quantity', number, fromId: null },
  );
}

/** Says where new things are to begin with: one line each, "arrival", at `now` (UTC ms) or as soon after as order allows. */
export async function putDownFirst(tx: Tx, puts: readonly PutDown[], now: number): Promise<void> {
  if (puts.length === 0) return;
  const stamp = await takeStamp(tx, now, puts.length);
  const lines = puts.map((put, index) => lineOf(put, stamp, index));
  const measured = [{ clockRun: clockRunIdSchema.parse(stamp.clockRun), offsetMs: 0 }];
  const times = await timeNewLines(tx, lines, measured, now);
  const timed = lines.flatMap((line) => {
    const time = times.get(line.id);
    return time === undefined ? [] : [{ line, ...time, receivedAt: now }];
  });
  const became = await storeLines(tx, timed);
  const stored = [...became.values()].filter((what) => 'stored' in what);
  assert(stored.length === puts.length, 'a first line names a thing and a place that were just seen');
}
