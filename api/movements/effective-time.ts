// Gives new lines their effective time (law 4): reads what is kept of the installations' clocks, asks the domain, and
// keeps what it says.
import { type ClockedLine, type ClockRunState, type EffectiveTime, timeLines } from '#domain/clock.ts';
import type { DeviceId } from '#domain/ids.ts';
import type { ClockMeasure, Movement } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';

/** How old "last seen" may become before a line writes it anew: it is for people, and must not cost every scan a write. */
const SEEN_AGAIN_MS = 60_000;

interface Device {
  readonly id: string;
  readonly seenAt: number | null;
}

/** Locks devices in the order of their ids: one installation's lines get their times one after the other. */
function lockDevices(tx: Tx, deviceIds: readonly string[]) {
  return tx<Device[]>`
    select id, seen_at as "seenAt" from device where id = any(${[...deviceIds]}::uuid[]) order by id for update`;
}

async function meetDevices(tx: Tx, deviceIds: readonly string[], receivedAt: number): Promise<void> {
  await tx`
    insert into device (id, name, kind, seen_at)
    select id, 'Phone', 'phone', ${receivedAt} from unnest(${[...deviceIds]}::uuid[]) as met (id) order by id
    on conflict (id) do nothing`;
}

async function keepSeen(tx: Tx, devices: readonly Device[], receivedAt: number): Promise<void> {
  const stale = devices.filter(({ seenAt }) => (seenAt ?? 0) < receivedAt - SEEN_AGAIN_MS);
  if (stale.length === 0) return;
  await tx`update device set seen_at = ${receivedAt} where id = any(${stale.map(({ id }) => id)}::uuid[])`;
}

interface Lowest {
  readonly deviceId: string;
  readonly no: number;
}

/** The runs that can bear on the numbers of each device: the one before its lowest, and every later one. */
function readRuns(tx: Tx, lowest: readonly Lowest[]) {
  return tx<ClockRunState[]>`
    select run.id, run.device_id as "deviceId", run.offset_ms as "offsetMs", run.measured, run.uncertain,
      run.first_no as "firstNo", run.last_no as "lastNo", run.first_at as "firstAt", run.last_at as "lastAt"
    from unnest(${lowest.map((one) => one.deviceId)}::uuid[], ${lowest.map((one) => one.no)}::int[]) as device (id, no)
      join clock_run run on run.device_id = device.id and run.last_no >= coalesce(
        (select max(last_no) from clock_run where device_id = device.id and last_no < device.no), 0)
    order by run.last_no, run.id`;
}

/** Stored and waiting lines around numbers that come late, found by the time that their runs span. */
async function readNeighbours(
  tx: Tx,
  deviceId: string,
  lines: readonly ClockedLine[],
  runs: readonly ClockRunState[],
) {
  const numbers = lines.map((line) => line.deviceNo);
  const [lowest, highest] = [Math.min(...numbers), Math.max(...numbers)];
  const around = runs.filter((run) => run.lastNo >= lowest && run.firstNo <= highest);
  if (around.length === 0) return [];
  const from = Math.min(...around.map((run) => run.firstAt));
  const until = Math.max(...around.map((run) => run.lastAt));
  return tx<{ deviceNo: number; at: number }[]>`
    select device_no as "deviceNo", at from movement
    where device_id = ${deviceId} and at between ${from} and ${until}
    union
    select device_no, at from movement_waiting
    where device_id = ${deviceId} and at between ${from} and ${until}
    order by 1`;
}

const rowOf = (run: ClockRunState) => ({
  ...{ id: run.id, device_id: run.deviceId, offset_ms: run.offsetMs, measured: run.measured },
  ...{ uncertain: run.uncertain, first_no: run.firstNo, last_no: run.lastNo },
  ...{ first_at: run.firstAt, last_at: run.lastAt },
});

// One text whatever the number of rows, here and wherever lines are written: the database plans it once.
async function keepRuns(tx: Tx, runs: readonly ClockRunState[]): Promise<void> {
  await tx`
    insert into clock_run (id, device_id, offset_ms, measured, uncertain, first_no, last_no, first_at, last_at)
    select * from jsonb_to_recordset(${tx.json(runs.map(rowOf))}) as run (id uuid, device_id uuid, offset_ms bigint,
      measured boolean, uncertain boolean, first_no int, last_no int, first_at bigint, last_at bigint)
    on conflict (device_id, id) do update set first_no = excluded.first_no, last_no = excluded.last_no,
      first_at = excluded.first_at, last_at = excluded.last_at`;
}

function linesByDevice(lines: readonly Movement[]): ReadonlyMap<DeviceId, readonly Movement[]> {
  const byDevice = new Map<DeviceId, Movement[]>();
  for (const line of lines) {
    const own = byDevice.get(line.deviceId);
    if (own) own.push(line);
    else byDevice.set(line.deviceId, [line]);
  }
  return byDevice;
}

/** What is kept of the clocks of the installations that some lines come from; held until the transaction ends. */
export type Clocks = readonly ClockRunState[];

/**
 * Locks the devices of the lines, making those that nobody has met, and reads their clocks. Statements of one
 * transaction are served in order: the two are sent together, and again where a device had to be made.
 */
export async function openClocks(tx: Tx, lines: readonly Movement[], receivedAt: number): Promise<Clocks> {
  const byDevice = linesByDevice(lines);
  const deviceIds = [...byDevice.keys()].sort();
  const lowest = [...byDevice].map(([deviceId, own]) => ({
    deviceId,
    no: Math.min(...own.map((line) => line.deviceNo)),
  }));
  const read = () => Promise.all([lockDevices(tx, deviceIds), readRuns(tx, lowest)]);
  const [known, runs] = await read();
  if (known.length === deviceIds.length) {
    await keepSeen(tx, known, receivedAt);
    return runs;
  }
  await meetDevices(tx, deviceIds, receivedAt);
  return (await read())[1];
}

export interface Timed {
  readonly times: ReadonlyMap<string, EffectiveTime>;
  /** Resolves when the clocks are kept; sent already, so that the caller's next statement need not wait for it. */
  readonly kept: Promise<void>;
}

/** The effective times of lines that are stored for the first time, by line id, from clocks that were opened for them. */
export async function timeByClocks(
  tx: Tx,
  lines: readonly Movement[],
  given: { readonly clocks: Clocks; readonly measures: readonly ClockMeasure[]; readonly receivedAt: number },
): Promise<Timed> {
  const { clocks, measures, receivedAt } = given;
  const times = new Map<string, EffectiveTime>();
  const grown: ClockRunState[] = [];
  for (const [deviceId, own] of linesByDevice(lines)) {
    const runs = clocks.filter((run) => run.deviceId === deviceId);
    const neighbours = await readNeighbours(tx, deviceId, own, runs);
    const timed = timeLines({ lines: own, runs, measures, receivedAt, neighbours });
    for (const [id, time] of timed.times) times.set(id, time);
    grown.push(...timed.runs);
  }
  return { times, kept: keepRuns(tx, grown) };
}

/** Opens the clocks, gives the times, and keeps the clocks, one after the other. */
export async function timeNewLines(
  tx: Tx,
  lines: readonly Movement[],
  measures: readonly ClockMeasure[],
  receivedAt: number,
): Promise<ReadonlyMap<string, EffectiveTime>> {
  const clocks = await openClocks(tx, lines, receivedAt);
  const { times, kept } = await timeByClocks(tx, lines, { clocks, measures, receivedAt });
  await kept;
  return times;
}
