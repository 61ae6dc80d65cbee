// How much time there is for a line between the lines of the same installation that have theirs (law 4).

/** So many numbers that have not come yet keep a millisecond each free for them; a wider gap does not get more. */
export const KEPT_FREE_MAX = 60_000;
/** The last instant that a JavaScript date and the schemas know, UTC ms. Source: ECMA-262, Time Values. */
export const INSTANT_MAX = 8_640_000_000_000_000;

/** A line of the installation that has its time. */
export interface TimedLine {
  readonly deviceNo: number;
  readonly at: number;
}

/** Lines with a time, by number, and one more that may be nearer from below. */
export interface Around {
  readonly known: readonly TimedLine[];
  readonly last: TimedLine | undefined;
}

/** The room that two numbers keep between them, in ms: one for each step, up to `KEPT_FREE_MAX`. */
export const roomBetween = (lower: number, higher: number) => Math.min(higher - lower, KEPT_FREE_MAX);

/** The first instant at which a line of this number may stand, given what was written before it. Numbers begin at 1. */
export function earliestFor(deviceNo: number, around: Around): number {
  const below = lineBelow(deviceNo, around);
  return below === undefined ? roomBetween(0, deviceNo) : below.at + roomBetween(below.deviceNo, deviceNo);
}

/** The last instant at which a line of this number may stand, given what was written after it. */
export function latestFor(deviceNo: number, known: readonly TimedLine[]): number {
  const above = lineAbove(deviceNo, known);
  return above === undefined ? INSTANT_MAX : above.at - roomBetween(deviceNo, above.deviceNo);
}

/** The line with the next lower number, or with this one. */
export function lineBelow(deviceNo: number, { known, last }: Around): TimedLine | undefined {
  const below = known[firstIndex(known, (line) => line.deviceNo > deviceNo) - 1];
  if (below === undefined || last === undefined) return below ?? last;
  return last.deviceNo >= below.deviceNo ? last : below;
}

/** The line with the next higher number, or with this one. */
export function lineAbove(deviceNo: number, known: readonly TimedLine[]): TimedLine | undefined {
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
