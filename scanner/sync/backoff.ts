// How long to wait before asking again.
const FIRST_MS = 1_000;
const LONGEST_MS = 60_000;
/** How often a phone in view looks for what others did. */
export const LOOK_EVERY_MS = 10_000;

/** A page in view is in somebody's hand: no browser says reliably when the service is back, so it asks this often. */
const LONGEST_IN_VIEW_MS = 8_000;

/**
 * Waits that double from 1 s to at most 60 s (8 s in view), each shortened by up to half by chance, so that the phones of
 * a crew do not all ask at once when the service is back. `failures`: how many in a row, 1 or more. `chance`: 0 to 1.
 */
export function waitAfter(failures: number, chance: number, inView: boolean): number {
  const longest = inView ? LONGEST_IN_VIEW_MS : LONGEST_MS;
  const wait = Math.min(longest, FIRST_MS * 2 ** Math.min(failures - 1, 16));
  return Math.round(wait * (1 - chance / 2));
}
