// When a working day begins. Crews wrap after midnight, so their day turns at an hour of its own, in the zone of
// the stop they stand at.
const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
// Further than any zone's offset and any single change of one (Apia left out a whole day in 2011).
const LOOK_AROUND_MS = 38 * 3_600_000;

/** Says what a clock on the wall reads at an instant, as if that reading were UTC, in ms. */
export type WallClock = (at: number) => number;

/** Whether this device knows a time zone by this name. An older device may not know a new one. */
export function zoneIsKnown(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}

/** The first of these zones that this device knows; UTC when it knows none of them. */
export function firstKnownZone(zones: readonly string[]): string {
  return zones.find(zoneIsKnown) ?? 'UTC';
}

/**
 * The instant at which the working day that holds `at` began: the latest turn of the day that is not after it. A
 * day turns at the first instant of its local date whose wall clock reads the turning time or later; where clocks
 * go back over it the first time counts, where they skip it the end of the gap, and a date that a zone left out
 * has no turn.
 *
 * `at`: UTC ms. `zone`: a name of the IANA time zone database. `turnsMinutes`: minutes after local midnight, 0 to
 * 1439. Result: UTC ms, at most `at`. Throws a RangeError for a zone this device does not know (`firstKnownZone`).
 * Source: ECMA-402 (Intl.DateTimeFormat) for the offsets; the rule for gaps and repeats is the project's own.
 */
export function workingDayBeganAt(at: number, zone: string, turnsMinutes: number): number {
  const wall = wallClockOf(zone);
  const today = Math.floor(wall(at) / DAY_MS);
  // The day after comes first: where clocks go back over midnight it may have begun already.
  for (let day = today + 1; ; day -= 1) {
    const turn = turnOf(day, turnsMinutes, wall);
    if (turn !== null && turn <= at) return turn;
  }
}

/** The clock on the wall of a zone. Throws a RangeError for a zone this device does not know. */
export function wallClockOf(zone: string): WallClock {
  const format = new Intl.DateTimeFormat('en-u-ca-iso8601-nu-latn', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  });
  return (at) => {
    const read: Record<string, number> = {};
    for (const part of format.formatToParts(at)) read[part.type] = Number(part.value);
    const { year = 0, month = 1, day = 1, hour = 0, minute = 0, second = 0 } = read;
    return Date.UTC(year, month - 1, day, hour, minute, second) + (((at % 1_000) + 1_000) % 1_000);
  };
}

function turnOf(day: number, turnsMinutes: number, wall: WallClock): number | null {
  const turn = instantOfReading(day * DAY_MS + turnsMinutes * MINUTE_MS, wall);
  return Math.floor(wall(turn) / DAY_MS) === day ? turn : null;
}

/**
 * The first instant at which the clock on the wall reads this, or later where it skips the reading. `reading`: as if it
 * were UTC, in ms.
 */
export function instantOfReading(reading: number, wall: WallClock): number {
  const early = reading - LOOK_AROUND_MS;
  const late = reading + LOOK_AROUND_MS;
  const candidates = [reading - (wall(early) - early), reading - (wall(late) - late)];
  const exact = candidates.filter((candidate) => wall(candidate) === reading);
  if (exact.length > 0) return Math.min(...exact);
  return firstReading(Math.min(...candidates), Math.max(...candidates), reading, wall);
}

/** The first instant in (`before`, `after`] whose wall clock reads `reading` or later. */
function firstReading(before: number, after: number, reading: number, wall: WallClock): number {
  let [low, high] = [before, after];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (wall(middle) >= reading) high = middle;
    else low = middle;
  }
  return high;
}
