// By how much the lines of a clock run are shifted, chosen once, when its first line is stored (law 4).
import type { ClockedLine, ClockRunState } from './clock.ts';
import {
  type Around,
  earliestFor,
  INSTANT_MAX,
  latestFor,
  roomBetween,
  type TimedLine,
} from './clock-room.ts';
import type { ClockRunId } from './ids.ts';
import type { ClockMeasure } from './movement.ts';

/** A run that would end later than this after its receipt has a wrong clock. */
export const AHEAD_MS_MAX = 120_000;

export interface Shift {
  /** Effective time less device time. */
  readonly offsetMs: number;
  readonly measured: boolean;
  readonly uncertain: boolean;
}

/** The lines of one run in this batch, by number; never empty. */
export interface RunLines {
  readonly run: ClockRunId;
  readonly first: ClockedLine;
  readonly lines: readonly ClockedLine[];
}

export interface ShiftInput {
  /** By the number of their first line. */
  readonly batch: readonly RunLines[];
  readonly runs: readonly ClockRunState[];
  readonly measures: readonly ClockMeasure[];
  readonly receivedAt: number;
  readonly known: readonly TimedLine[];
}

/**
 * The shift of every run of a batch: that of a kept run as it is, that of a new one by the rules that `timeLines`
 * states. Twice over the new runs: forwards, each behind its predecessor; then backwards, because a run that was
 * pushed past receipt ends at receipt, and those before it, not yet stored either, make room.
 */
export function chooseShifts(input: ShiftInput): ReadonlyMap<ClockRunId, Shift> {
  const kept = new Map(input.runs.map((run) => [run.id, run]));
  const measured = new Map(input.batch.map(({ run, first }) => [run, measuredOffset(run, first, input)]));
  const offsets = new Map<ClockRunId, number>();
  let last: TimedLine | undefined;
  for (const of of input.batch) {
    const state = kept.get(of.run);
    const wanted = notAhead(of, state?.offsetMs ?? measured.get(of.run)?.offsetMs ?? 0, input.receivedAt);
    const offset = state === undefined ? behind(of, wanted, { known: input.known, last }) : wanted;
    offsets.set(of.run, offset);
    last = { deviceNo: of.lines.at(-1)?.deviceNo ?? of.first.deviceNo, at: endOf(of) + offset };
  }
  let next: TimedLine | undefined;
  for (const of of input.batch.toReversed()) {
    let offset = offsets.get(of.run) ?? 0;
    if (!kept.has(of.run)) {
      offset = ahead(of, notAhead(of, offset, input.receivedAt), input.known, next);
      // Stored lines do not give way any more.
      offset = behind(of, offset, { known: input.known, last: undefined });
      offsets.set(of.run, offset);
    }
    next = { deviceNo: of.first.deviceNo, at: of.first.deviceAt + offset };
  }
  const shifts = new Map<ClockRunId, Shift>(kept);
  for (const { run } of input.batch) {
    if (kept.has(run)) continue;
    const offsetMs = offsets.get(run) ?? 0;
    const said = measured.get(run);
    const uncertain = said?.offsetMs !== offsetMs;
    shifts.set(run, { offsetMs, measured: said?.own ?? false, uncertain });
  }
  return shifts;
}

const endOf = (of: RunLines) => Math.max(...of.lines.map((line) => line.deviceAt));

function notAhead(of: RunLines, offset: number, receivedAt: number): number {
  const end = endOf(of) + offset;
  return end > receivedAt + AHEAD_MS_MAX ? offset - (end - receivedAt) : offset;
}

function behind(of: RunLines, offset: number, around: Around): number {
  return Math.max(offset, earliestFor(of.first.deviceNo, around) - of.first.deviceAt);
}

function ahead(
  of: RunLines,
  offset: number,
  known: readonly TimedLine[],
  next: TimedLine | undefined,
): number {
  let least = offset;
  for (const { deviceNo, deviceAt } of of.lines) {
    least = Math.min(least, latestFor(deviceNo, known) - deviceAt);
    if (next !== undefined && deviceNo < next.deviceNo)
      least = Math.min(least, next.at - roomBetween(deviceNo, next.deviceNo) - deviceAt);
  }
  return least;
}

/** What was measured for a run: in it, else in the next run by number; undefined where nothing was. */
function measuredOffset(
  run: ClockRunId,
  first: ClockedLine,
  input: ShiftInput,
): { readonly offsetMs: number; readonly own: boolean } | undefined {
  const own = input.measures.findLast(({ clockRun }) => clockRun === run)?.offsetMs;
  const offset = own ?? nextMeasuredOffset(first, input);
  if (offset === undefined) return undefined;
  return { offsetMs: Math.min(Math.max(offset, -INSTANT_MAX), INSTANT_MAX), own: own !== undefined };
}

/** A run that was measured now and has no line yet is the newest of all. */
function nextMeasuredOffset(first: ClockedLine, { runs, measures, batch }: ShiftInput): number | undefined {
  const measured = new Map(measures.map(({ clockRun, offsetMs }) => [clockRun, offsetMs]));
  const firstNos = new Map([
    ...batch.map((of): [ClockRunId, number] => [of.run, of.first.deviceNo]),
    ...runs.map((run): [ClockRunId, number] => [run.id, run.firstNo]),
  ]);
  const later = runs
    .filter((run) => run.measured && !measured.has(run.id))
    .map((run) => ({ firstNo: run.firstNo, offsetMs: run.offsetMs }));
  for (const [run, offsetMs] of measured) {
    later.push({ firstNo: firstNos.get(run) ?? Number.POSITIVE_INFINITY, offsetMs });
  }
  const after = later.filter(({ firstNo }) => firstNo > first.deviceNo);
  return after.sort((a, b) => (a.firstNo < b.firstNo ? -1 : 1))[0]?.offsetMs;
}
