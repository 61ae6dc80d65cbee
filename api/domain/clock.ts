// Law 4: the one effective time of a line, from what its device said. The shift of a clock run is chosen when its
// first line is stored and never changes; distances inside a run stay.
import type { ClockRunId, DeviceId, MovementId } from './ids.ts';
import type { ClockMeasure } from './movement.ts';

/** A run may end this long past receipt before its clock is not believed. */
export const PAST_RECEIPT_MS_MAX = 120_000;

/** One run of an installation's clock, as stored. `offsetMs` is the whole shift applied: service less device time. */
export interface ClockRunState {
  readonly id: ClockRunId;
  readonly deviceId: DeviceId;
  readonly offsetMs: number;
  readonly measured: boolean;
  readonly uncertain: boolean;
  readonly firstNo: number;
  readonly lastNo: number;
  readonly firstAt: number;
  readonly lastAt: number;
}

export interface StampedLine {
  readonly id: MovementId;
  readonly deviceNo: number;
  readonly deviceAt: number;
  readonly clockRun: ClockRunId;
}

export interface TimedLine {
  readonly at: number;
  readonly timeUncertain: boolean;
}

export interface Timing {
  readonly times: ReadonlyMap<MovementId, TimedLine>;
  /** The runs that are new or grew, to be stored with the lines. */
  readonly runs: readonly ClockRunState[];
}

export interface TimingInput {
  readonly deviceId: DeviceId;
  /** Lines of this one installation that are stored for the first time, in any order. */
  readonly lines: readonly StampedLine[];
  readonly runs: readonly ClockRunState[];
  readonly measures: readonly ClockMeasure[];
  /** The service's time, UTC ms. */
  readonly receivedAt: number;
}

const byNumber = (a: StampedLine, b: StampedLine) => a.deviceNo - b.deviceNo || (a.id < b.id ? -1 : 1);

/** Everything known between two numbers of one installation: a line's `at` stays between its neighbours' times. */
function boundsOf(no: number, runs: Iterable<ClockRunState>, ownId: ClockRunId) {
  let earliest = Number.NEGATIVE_INFINITY;
  let latest = Number.POSITIVE_INFINITY;
  for (const run of runs) {
    const inside = run.firstNo < no && no < run.lastNo;
    if (run.lastNo < no) earliest = Math.max(earliest, run.lastAt);
    else if (run.firstNo > no) latest = Math.min(latest, run.firstAt);
    else if (inside && run.id === ownId) {
      earliest = Math.max(earliest, run.firstAt);
      latest = Math.min(latest, run.lastAt);
    }
  }
  return { earliest, latest };
}

interface Shift {
  readonly offsetMs: number;
  readonly measured: boolean;
  readonly uncertain: boolean;
}

/** What was measured in this run; else what the installation's next measured run says; else nothing, so uncertain. */
function measuredShift(
  id: ClockRunId,
  firstNo: number,
  input: TimingInput,
  starts: ReadonlyMap<ClockRunId, number>,
): Shift {
  const own = input.measures.find((measure) => measure.clockRun === id);
  if (own) return { offsetMs: own.offsetMs, measured: true, uncertain: false };
  const later = [
    ...input.measures.flatMap((measure) => {
      const start = starts.get(measure.clockRun);
      return start === undefined ? [] : [{ start, offsetMs: measure.offsetMs }];
    }),
    ...input.runs
      .filter((run) => run.measured)
      .map((run) => ({ start: run.firstNo, offsetMs: run.offsetMs })),
  ].filter(({ start }) => start > firstNo);
  const next = later.sort((a, b) => a.start - b.start)[0];
  if (next) return { offsetMs: next.offsetMs, measured: false, uncertain: false };
  // A measurement of a run that has no line yet was made later than this line was written.
  const unseen = input.measures.find((measure) => !starts.has(measure.clockRun));
  return { offsetMs: unseen?.offsetMs ?? 0, measured: false, uncertain: unseen === undefined };
}

/** Shifts a whole new run so that it ends by receipt and begins after its predecessor, which wins when both cannot be. */
function fitShift(
  lines: readonly StampedLine[],
  shift: Shift,
  known: Iterable<ClockRunState>,
  receivedAt: number,
): Shift {
  const first = Math.min(...lines.map((line) => line.deviceAt));
  const last = Math.max(...lines.map((line) => line.deviceAt));
  const firstNo = lines[0]?.deviceNo ?? 0;
  const lastNo = lines.at(-1)?.deviceNo ?? 0;
  let offsetMs = shift.offsetMs;
  if (last + offsetMs > receivedAt + PAST_RECEIPT_MS_MAX) offsetMs = receivedAt - last;
  for (const run of known) {
    if (run.firstNo > lastNo) offsetMs = Math.min(offsetMs, run.firstAt - last);
  }
  for (const run of known) {
    if (run.lastNo < firstNo) offsetMs = Math.max(offsetMs, run.lastAt - first);
  }
  return { ...shift, offsetMs, uncertain: shift.uncertain || offsetMs !== shift.offsetMs };
}

function grow(run: ClockRunState, no: number, at: number): ClockRunState {
  return {
    ...run,
    firstNo: Math.min(run.firstNo, no),
    lastNo: Math.max(run.lastNo, no),
    firstAt: Math.min(run.firstAt, at),
    lastAt: Math.max(run.lastAt, at),
  };
}

/**
 * Gives each line its effective time (UTC ms, whole). A line that its run's clock would put outside its neighbours of
 * the same installation, or past receipt, is held between them and marked uncertain, so that within one installation
 * `at` never contradicts `deviceNo`. Times before 1970 are held at 0.
 */
export function timeLines(input: TimingInput): Timing {
  const lines = [...input.lines].sort(byNumber);
  const starts = new Map<ClockRunId, number>();
  for (const line of lines) if (!starts.has(line.clockRun)) starts.set(line.clockRun, line.deviceNo);
  const known = new Map(input.runs.map((run) => [run.id, run]));
  const touched = new Set<ClockRunId>();
  const times = new Map<MovementId, TimedLine>();

  for (const [id, firstNo] of starts) {
    const own = lines.filter((line) => line.clockRun === id);
    const shift =
      known.get(id) ??
      fitShift(own, measuredShift(id, firstNo, input, starts), known.values(), input.receivedAt);
    for (const line of own) {
      const { earliest, latest } = boundsOf(line.deviceNo, known.values(), id);
      const wanted = line.deviceAt + shift.offsetMs;
      const believed = wanted > input.receivedAt + PAST_RECEIPT_MS_MAX ? input.receivedAt : wanted;
      const at = Math.max(0, earliest, Math.min(latest, believed));
      times.set(line.id, { at, timeUncertain: shift.uncertain || at !== wanted });
      const before = known.get(id);
      const { offsetMs, measured, uncertain } = shift;
      const run = before ?? {
        ...{ id, deviceId: input.deviceId, offsetMs, measured, uncertain },
        ...{ firstNo: line.deviceNo, lastNo: line.deviceNo, firstAt: at, lastAt: at },
      };
      known.set(id, grow(run, line.deviceNo, at));
      touched.add(id);
    }
  }
  return { times, runs: [...touched].flatMap((id) => known.get(id) ?? []) };
}
