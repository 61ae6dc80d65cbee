// Says in the ledger where the things of a list are: each in its home, else where what has none is put down.
import { clockRunIdSchema, deviceIdSchema, type PlaceId } from '#domain/ids.ts';
import { type Movement, movementSchema } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';
import { timeNewLines } from '../movements/effective-time.ts';
import { storeLines } from '../movements/store-lines.ts';
import type { ListToBringIn } from './bring-in.ts';
import type { NewThing } from './make-things.ts';
import { newId } from './new-id.ts';

const LINES_AT_ONCE = 1_000;

function arrivalOf(thing: NewThing, placeId: PlaceId, stamp: object): Movement {
  const context = { stopId: null, round: null, note: null, check: null, why: 'arrival', spot: null };
  const where =
    thing.kind === 'item'
      ? { kind: 'move', thingId: thing.id, code: null, toId: placeId }
      : { kind: 'quantity', thingId: thing.id, number: thing.number, fromId: null, toId: placeId };
  return movementSchema.parse({ ...stamp, ...context, ...where });
}

/**
 * Writes the arrivals through the one write path. Every list is an installation of its own (`deviceId`), whose clock is the
 * service's; its lines are numbered from 1.
 */
export async function writeArrivals(
  tx: Tx,
  things: readonly NewThing[],
  store: PlaceId | null,
  bring: ListToBringIn,
  device: string,
): Promise<void> {
  const { now, fileName } = bring;
  const deviceId = deviceIdSchema.parse(device);
  const clockRun = clockRunIdSchema.parse(device);
  const lines = things.flatMap((thing, at) => {
    const placeId = thing.facts.homes[0]?.placeId ?? (thing.line.facts.home.length === 0 ? store : null);
    const stamp = { id: newId(now), deviceId, deviceNo: at + 1, deviceAt: now, clockRun, personId: null };
    return placeId === null ? [] : [arrivalOf(thing, placeId, stamp)];
  });
  if (lines.length === 0) return;
  await tx`insert into device ${tx({ id: deviceId, name: `List ${fileName}`, kind: 'service', seen_at: now })}`;
  for (let at = 0; at < lines.length; at += LINES_AT_ONCE) {
    const some = lines.slice(at, at + LINES_AT_ONCE);
    const times = await timeNewLines(tx, some, [{ clockRun, offsetMs: 0 }], now);
    const timed = some.flatMap((line) => {
      const time = times.get(line.id);
      return time === undefined ? [] : [{ line, ...time, receivedAt: now }];
    });
    await storeLines(tx, timed);
    bring.report({ step: 'places', done: at + some.length, of: lines.length });
  }
}
