// The one effective time of a line, made when it is first stored (law 4). Devices keep clocks that are wrong, jump
// and restart; the ledger needs one order that never contradicts the order in which one device wrote.
import {
  type Around,
  earliestFor,
  INSTANT_MAX,
  latestFor,
  lineAbove,
  lineBelow,
  type TimedLine,
} from './clock-room.ts';
import { AHEAD_MS_MAX, chooseShifts, type RunLines, type Shift } from './clock-shift.ts';
import type { ClockRunId, DeviceId, MovementId } from './ids.ts';
import { assert } from './invariant.ts';
import type { ClockMeasure } from './movement.ts';

/** What is kept of one run of a device's clock. First and last are of its stored lines, by number; `at` in UTC ms. */
export interface ClockRunState {
  readonly id: ClockRunId;
  readonly deviceId: DeviceId;
  /** Effective time less device time, as applied to every line of this run. */
  readonly offsetMs: number;
  /** Whether this run's own offset was measured when its first line was stored. */
  readonly measured: boolean;
  readonly uncertain: boolean;
  readonly firstNo: number;
  readonly lastNo: number;
  readonly firstAt: number;
  readonly lastAt: number;
}

export interface ClockedLine {
  readonly id: MovementId;
  readonly deviceId: DeviceId;
  readonly deviceNo: number;
  readonly deviceAt: number;
  readonly clockRun: ClockRunId;
}

export interface TimeInput {
  /** The new lines of one installation in one batch, in any order. Lines that are stored keep their time: leave them out. */
  readonly lines: readonly ClockedLine[];
  /** Every run that is kept of the installation. */
  readonly runs: readonly ClockRunState[];
  readonly measures: readonly ClockMeasure[];
  readonly receivedAt: number;
  /**
   * For lines whose number is lower than the highest one stored: the stored lines next below and next above each.
   * Without them late lines keep the order against the ends of runs, not against every line in between.
   */
  readonly neighbours?: readonly TimedLine[];
}

export interface EffectiveTime {
  readonly at: number;
  readonly timeUncertain: boolean;
}

export interface TimedBatch {
  readonly times: ReadonlyMap<MovementId, EffectiveTime>;
  /** The runs that are new or have grown. */
  readonly runs: readonly ClockRunState[];
}

/**
 * Gives new lines their effective time, in whole UTC ms. A run's shift is chosen with its first stored line and
 * stays: the offset measured in it, else the one measured in the next run that has one, else 0 and uncertain. A
 * run that would end over 120 s past receipt is shifted as a whole to end at receipt; one that would begin before
 * the line written before it, or end after the line written after it, is shifted behind or before that line.
 * Shifted runs are uncertain.
 *
 * Then each line is held between its neighbours by number, so that `at` rises with `deviceNo`, also where a line
 * comes late or the shift of its run no longer fits; a line that is held back or pushed on is uncertain. For that
 * every number that has not come yet keeps 1 ms free (up to 60,000 in a row).
 * Source: law 4; that missing numbers keep room, and that single lines give way, is the project's own.
 */
export function timeLines(input: TimeInput): TimedBatch {
  const lines = [...input.lines].sort(compareNumbers);
  const known = knownTimes(input);
  const shifts = chooseShifts({ ...input, known, batch: linesByRun(lines) });
  const grown = new Map(input.runs.map((run) => [run.id, run]));
  const times = new Map<MovementId, EffectiveTime>();
  let last: TimedLine | undefined;
  for (const line of lines) {
    const shift = shifts.get(line.clockRun);
    assert(shift !== undefined, 'every run of a batch has a shift');
    const natural = wholeInstant(line.deviceAt + shift.offsetMs);
    const at = hold(natural, line.deviceNo, { known, last, receivedAt: input.receivedAt });
    last = { deviceNo: line.deviceNo, at };
    times.set(line.id, { at, timeUncertain: shift.uncertain || at !== natural });
    grown.set(line.clockRun, grow(grown.get(line.clockRun) ?? startRun(line, at, shift), last));
  }
  const touched = new Set(lines.map((line) => line.clockRun));
  return { times, runs: [...grown.values()].filter((run) => touched.has(run.id)) };
}

function compareNumbers(a: ClockedLine, b: ClockedLine): number {
  if (a.deviceNo !== b.deviceNo) return a.deviceNo - b.deviceNo;
  if (a.deviceAt !== b.deviceAt) return a.deviceAt - b.deviceAt;
  return a.id < b.id ? -1 : 1;
}

function linesByRun(lines: readonly ClockedLine[]): readonly RunLines[] {
  const byRun = new Map<ClockRunId, ClockedLine[]>();
  for (const line of lines) {
    const of = byRun.get(line.clockRun);
    if (of === undefined) byRun.set(line.clockRun, [line]);
    else of.push(line);
  }
  return [...byRun].flatMap(([run, of]) => (of[0] === undefined ? [] : [{ run, first: of[0], lines: of }]));
}

/** The lines whose time is known before this batch, by number. */
function knownTimes({ runs, neighbours = [] }: TimeInput): readonly TimedLine[] {
  const ends = runs.flatMap((run) => [
    { deviceNo: run.firstNo, at: run.firstAt },
    { deviceNo: run.lastNo, at: run.lastAt },
  ]);
  return [...ends, ...neighbours].sort((a, b) => a.deviceNo - b.deviceNo || a.at - b.at);
}

/** Holds one line between its neighbours by number; where these leave no room, as near to it as they allow. */
function hold(natural: number, deviceNo: number, around: Around & { readonly receivedAt: number }): number {
  const wanted = natural > around.receivedAt + AHEAD_MS_MAX ? around.receivedAt : natural;
  const earliest = earliestFor(deviceNo, around);
  const latest = latestFor(deviceNo, around.known);
  if (earliest <= latest) return Math.min(Math.max(wanted, earliest), latest);
  const below = lineBelow(deviceNo, around)?.at ?? 0;
  return Math.min(Math.max(wanted, below), lineAbove(deviceNo, around.known)?.at ?? INSTANT_MAX);
}

function wholeInstant(at: number): number {
  return Math.min(Math.max(Math.round(at), 0), INSTANT_MAX);
}

function startRun(line: ClockedLine, at: number, shift: Shift): ClockRunState {
  const { clockRun: id, deviceId, deviceNo } = line;
  return { id, deviceId, ...shift, firstNo: deviceNo, lastNo: deviceNo, firstAt: at, lastAt: at };
}

function grow(run: ClockRunState, line: TimedLine): ClockRunState {
  const first = line.deviceNo < run.firstNo ? { firstNo: line.deviceNo, firstAt: line.at } : {};
  const last = line.deviceNo > run.lastNo ? { lastNo: line.deviceNo, lastAt: line.at } : {};
  return { ...run, ...first, ...last };
}
