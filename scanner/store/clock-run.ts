// A run of this phone's clock: from one start, or one jump of the wall clock, to the next (law 4).
import type { ClockRunId } from '#domain/ids.ts';

const JUMP_MS_MAX = 2_000;

/** The two clocks of the phone at one moment, in ms: the one on the wall, and the one that only goes forward. */
export interface Clocks {
  readonly wall: number;
  readonly monotonic: number;
}
export interface ClockRun extends Clocks {
  readonly id: ClockRunId;
}

/**
 * The run that holds this moment: the one before, or a new one where the wall clock went more than 2 s further, or
 * less far, than the monotonic clock since that run was last looked at. `makeId` is asked only for a new one.
 */
export function followClock(run: ClockRun, now: Clocks, makeId: () => ClockRunId): ClockRun {
  const drift = now.wall - run.wall - (now.monotonic - run.monotonic);
  return { ...now, id: Math.abs(drift) > JUMP_MS_MAX ? makeId() : run.id };
}
