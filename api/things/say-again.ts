// Takes lines of the ledger back and says them again of another thing, each at its own time, through the one write path.
import { randomBytes, randomUUID } from 'node:crypto';
import type { Level } from '#domain/book.ts';
import {
  clockRunIdSchema,
  deviceIdSchema,
  type MovementId,
  makeUuidV7,
  movementIdSchema,
  type ThingId,
} from '#domain/ids.ts';
import { linesToHandOver, numbersToAdd, sayOf } from '#domain/merge.ts';
import type { Recorded } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';
import { type LineRow, recordedOf } from '../movements/line-rows.ts';
import { recordAsService } from '../movements/service-lines.ts';
import { storeLines } from '../movements/store-lines.ts';

/** A line that was taken back, and the id of the one that says the same; null where nothing does. */
export interface Said {
  readonly lineId: MovementId;
  readonly againId: MovementId | null;
}
/** The living lines of a thing and which of them are true of the thing whatever it is called. */
export type HandedOver = ReturnType<typeof linesToHandOver>;

/** All living lines of the thing, in the order of the ledger. */
export async function readLinesOf(tx: Tx, thingId: ThingId): Promise<HandedOver> {
  const rows = await tx<LineRow[]>`
    select body, thing_id as "thingId", at, time_uncertain as "timeUncertain" from movement
    where thing_id = ${thingId} or voids in (select id from movement where thing_id = ${thingId})`;
  return linesToHandOver(rows.map(recordedOf));
}

interface SayAgain {
  readonly lines: HandedOver;
  readonly thingId: ThingId;
  /** The installation that says it: one for each time, so that its numbers follow its times (law 4). */
  readonly deviceId: string;
  /** UTC ms. */
  readonly now: number;
}

function stampsFor(times: readonly number[], deviceId: string) {
  const clockRun = clockRunIdSchema.parse(randomUUID());
  // Sorted, so that lines of one moment keep their order.
  const ids = times.map((at) => makeUuidV7(at, randomBytes(16))).sort();
  return ids.map((id, index) => ({
    id: movementIdSchema.parse(id),
    deviceId: deviceIdSchema.parse(deviceId),
    deviceNo: index + 1,
    clockRun,
  }));
}

/** Says those again that are true of the thing itself. What became of each line, in their order. */
export async function sayAgain(
  tx: Tx,
  { lines, thingId, deviceId, now }: SayAgain,
): Promise<readonly Said[]> {
  const again = lines.filter(({ isSaidAgain }) => isSaidAgain).map(({ line }) => line);
  const stamps = stampsFor(
    again.map(({ at }) => at),
    deviceId,
  );
  const againOf = new Map<MovementId, MovementId>();
  const copies = again.flatMap((line, index) => {
    const stamp = stamps[index];
    if (stamp === undefined) return [];
    againOf.set(line.id, stamp.id);
    const { at, timeUncertain } = line;
    return [{ line: sayOf(line, thingId, stamp), at, timeUncertain, receivedAt: now }];
  });
  if (copies.length > 0) await keepDevice(tx, deviceId, again, stamps[0]?.clockRun);
  await storeLines(tx, copies);
  return lines.map(({ line }) => ({ lineId: line.id, againId: againOf.get(line.id) ?? null }));
}

/** The installation and the one run of its clock, as any other has them. */
async function keepDevice(tx: Tx, id: string, lines: readonly Recorded[], run: string | undefined) {
  await tx`insert into device ${tx({ id, name: 'Two entries made one', kind: 'service' })} on conflict (id) do nothing`;
  if (run === undefined) return;
  const row = { id: run, device_id: id, offset_ms: 0, measured: true, uncertain: false };
  const span = { first_at: lines[0]?.at ?? 0, last_at: lines.at(-1)?.at ?? 0 };
  await tx`insert into clock_run ${tx({ ...row, ...span, first_no: 1, last_no: lines.length })}`;
}

/** Takes the lines back, at `now`. */
export async function takeBackLines(tx: Tx, lines: readonly { readonly line: Recorded }[], now: number) {
  const voids = lines.map(({ line }) => ({
    kind: 'void' as const,
    stopId: line.stopId,
    round: line.round,
    note: null,
    voids: line.id,
    thingId: 'thingId' in line ? line.thingId : null,
  }));
  await recordAsService(tx, voids, now);
}

/** Keeps which line was said again as which, so that a late undo of the one undoes the other. */
export async function noteSaidAgain(tx: Tx, mergeId: string, said: readonly Said[]): Promise<void> {
  if (said.length === 0) return;
  const [lines, agains] = [said.map((one) => one.lineId), said.map((one) => one.againId)];
  await tx`
    insert into said_again (line_id, merge_id, again_id)
    select line_id, ${mergeId}, again_id from unnest(${lines}::uuid[], ${agains}::uuid[]) as said (line_id, again_id)
    on conflict (line_id) do update set merge_id = excluded.merge_id, again_id = excluded.again_id`;
}

/** Gives the numbers of one thing to the other, as of `now`. The ids of the lines that do so. */
export async function addNumbers(
  tx: Tx,
  add: {
    readonly from: { readonly id: ThingId; readonly name: string };
    readonly into: ThingId;
    readonly now: number;
  },
): Promise<readonly string[]> {
  const levels = await tx<Level[]>`
    select thing_id as "thingId", place_id as "placeId", number::float8 as number from stock_level
    where thing_id = ${add.from.id} and number <> 0 order by place_id`;
  if (levels.length === 0) return [];
  const before = await readQuantityIds(tx, add.into);
  await recordAsService(tx, numbersToAdd(levels, add.into, add.from.name), add.now);
  const after = await readQuantityIds(tx, add.into);
  return [...after].filter((id) => !before.has(id));
}

async function readQuantityIds(tx: Tx, thingId: ThingId): Promise<ReadonlySet<string>> {
  const rows = await tx<{ id: string }[]>`
    select id from movement where thing_id = ${thingId} and kind = 'quantity'`;
  return new Set(rows.map(({ id }) => id));
}
