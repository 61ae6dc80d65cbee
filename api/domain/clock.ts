// The one effective time of a line, made when it is first stored (law 4). Devices keep clocks that are wrong, jump
// and restart; the ledger needs one order that never contradicts the order in which one device wrote.
import type { ClockRunId, DeviceId, MovementId } from './ids.ts';
import type { ClockMeasure } from './movement.ts';

/** A run that would end later than this after its receipt has a wrong clock. */
export const AHEAD_MS_MAX = 120_000;
/** So many numbers that have not come yet keep a millisecond each free for them; a wider gap does not get more. */
export const KEPT_FREE_MAX = 60_000;
const INSTANT_MAX = 8_640_000_000_000_000;

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

/** A line of the installation that has its time already. */
export interface TimedLine {
  readonly deviceNo: number;
  readonly at: number;
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

interface Shift {
  readonly offsetMs: number;
  readonly measured: boolean;
  readonly uncertain: boolean;
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
  const byRun = linesByRun(lines);
  const known = knownTimes(input);
  const kept = new Map(input.runs.map((run) => [run.id, run]));
  const grown = new Map<ClockRunId, ClockRunState>();
  const times = new Map<MovementId, EffectiveTime>();
  let last: TimedLine | undefined;
  for (const line of lines) {
    const state = grown.get(line.clockRun) ?? kept.get(line.clockRun);
    const shift = state ?? chooseShift(byRun.get(line.clockRun) ?? [line], { ...input, known, last, byRun });
    const natural = wholeInstant(line.deviceAt + shift.offsetMs);
    const at = hold(natural, line.deviceNo, { known, last, receivedAt: input.receivedAt });
    last = { deviceNo: line.deviceNo, at };
    times.set(line.id, { at, timeUncertain: shift.uncertain || at !== natural });
    grown.set(line.clockRun, grow(state ?? startRun(line, at, shift), last));
  }
  return { times, runs: [...grown.values()] };
}

type LinesByRun = ReadonlyMap<ClockRunId, readonly ClockedLine[]>;

function compareNumbers(a: ClockedLine, b: ClockedLine): number {
  if (a.deviceNo !== b.deviceNo) return a.deviceNo - b.deviceNo;
  if (a.deviceAt !== b.deviceAt) return a.deviceAt - b.deviceAt;
  return a.id < b.id ? -1 : 1;
}

function linesByRun(lines: readonly ClockedLine[]): LinesByRun {
  const byRun = new Map<ClockRunId, ClockedLine[]>();
  for (const line of lines) {
    const of = byRun.get(line.clockRun);
    if (of === undefined) byRun.set(line.clockRun, [line]);
    else of.push(line);
  }
  return byRun;
}

/** The lines whose time is known before this batch, by number. */
function knownTimes({ runs, neighbours = [] }: TimeInput): readonly TimedLine[] {
  const ends = runs.flatMap((run) => [
    { deviceNo: run.firstNo, at: run.firstAt },
    { deviceNo: run.lastNo, at: run.lastAt },
  ]);
  return [...ends, ...neighbours].sort((a, b) => a.deviceNo - b.deviceNo || a.at - b.at);
}

interface Around {
  readonly known: readonly TimedLine[];
  /** The line before, in this batch. */
  readonly last: TimedLine | undefined;
}

function chooseShift(
  lines: readonly ClockedLine[],
  input: TimeInput & Around & { readonly byRun: LinesByRun },
): Shift {
  const [first] = lines;
  if (first === undefined) return { offsetMs: 0, measured: false, uncertain: true };
  const own = input.measures.findLast(({ clockRun }) => clockRun === first.clockRun)?.offsetMs;
  const offset = own ?? nextMeasuredOffset(first, input);
  const measuredMs = Math.min(Math.max(offset ?? 0, -INSTANT_MAX), INSTANT_MAX);
  const offsetMs = fitRun(lines, measuredMs, input);
  return {
    offsetMs,
    measured: own !== undefined,
    uncertain: offset === undefined || offsetMs !== measuredMs,
  };
}

/** The offset of the next run by number that has one; a run measured now and without a line is the newest of all. */
function nextMeasuredOffset(
  first: ClockedLine,
  { runs, measures, byRun }: TimeInput & { readonly byRun: LinesByRun },
): number | undefined {
  const measured = new Map(measures.map(({ clockRun, offsetMs }) => [clockRun, offsetMs]));
  const later: { firstNo: number; offsetMs: number }[] = [];
  for (const run of runs) {
    const offsetMs = measured.get(run.id) ?? (run.measured ? run.offsetMs : undefined);
    if (offsetMs !== undefined) later.push({ firstNo: run.firstNo, offsetMs });
    measured.delete(run.id);
  }
  for (const [clockRun, offsetMs] of measured) {
    const firstNo = byRun.get(clockRun)?.[0]?.deviceNo ?? Number.POSITIVE_INFINITY;
    later.push({ firstNo, offsetMs });
  }
  const after = later.filter(({ firstNo }) => firstNo > first.deviceNo);
  return after.sort((a, b) => (a.firstNo < b.firstNo ? -1 : 1))[0]?.offsetMs;
}

/** Shifts a run as a whole: not ahead of its receipt, before what was written after it, behind what came before. */
function fitRun(lines: readonly ClockedLine[], offsetMs: number, input: TimeInput & Around): number {
  let fitted = offsetMs;
  const end = Math.max(...lines.map((line) => line.deviceAt)) + fitted;
  if (end > input.receivedAt + AHEAD_MS_MAX) fitted -= end - input.receivedAt;
  for (const line of lines) {
    const latest = latestFor(line.deviceNo, input.known);
    if (line.deviceAt + fitted > latest) fitted = latest - line.deviceAt;
  }
  const [first] = lines;
  if (first === undefined) return fitted;
  return Math.max(fitted, earliestFor(first.deviceNo, input) - first.deviceAt);
}

/** Holds one line between its neighbours by number; where these leave no room, as near to it as they allow. */
function hold(natural: number, deviceNo: number, around: Around & { readonly receivedAt: number }): number {
  const wanted = natural > around.receivedAt + AHEAD_MS_MAX ? around.receivedAt : natural;
  const earliest = earliestFor(deviceNo, around);
  const latest = latestFor(deviceNo, around.known);
  if (earliest <= latest) return Math.min(Math.max(wanted, earliest), latest);
  const below = before(deviceNo, around)?.at ?? 0;
  return Math.min(Math.max(wanted, below), after(deviceNo, around.known)?.at ?? INSTANT_MAX);
}

function earliestFor(deviceNo: number, around: Around): number {
  const below = before(deviceNo, around);
  return below === undefined ? 0 : below.at + Math.min(deviceNo - below.deviceNo, KEPT_FREE_MAX);
}

function latestFor(deviceNo: number, known: readonly TimedLine[]): number {
  const above = after(deviceNo, known);
  return above === undefined ? INSTANT_MAX : above.at - Math.min(above.deviceNo - deviceNo, KEPT_FREE_MAX);
}

function before(deviceNo: number, { known, last }: Around): TimedLine | undefined {
  const below = known[firstIndex(known, (line) => line.deviceNo > deviceNo) - 1];
  if (below === undefined || last === undefined) return below ?? last;
  return last.deviceNo >= below.deviceNo ? last : below;
}

function after(deviceNo: number, known: readonly TimedLine[]): TimedLine | undefined {
  return known[firstIndex(known, (line) => line.deviceNo >= deviceNo)];
}

/** The index of the first of these lines for which it holds, where it holds for all after that one. */
function firstIndex(lines: readonly TimedLine[], holds: (line: TimedLine) => boolean): number {
  let [low, high] = [0, lines.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    const line = lines[middle];
    if (line !== undefined && holds(line)) high = middle;
    else low = middle + 1;
  }
  return low;
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
