// What a person types and reads: a date and a time on the wall of a zone, "2026-11-25T23:40", against the instant it is.
import { firstKnownZone, instantOfReading, wallClockOf } from './working-day.ts';

const LOCAL_TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d$/;

/**
 * The instant that a clock on the wall of `zone` reads as `text` ("2026-11-25T23:40"), UTC ms. Where clocks go back over
 * it the first time counts, where they skip it the end of the gap. Null for what is no such time. A zone that this
 * device does not know reads as UTC.
 * Source: ISO 8601 for the text; the rule for gaps and repeats is the project's own, as in working-day.ts.
 */
export function instantAt(text: string, zone: string): number | null {
  if (!LOCAL_TIME.test(text)) return null;
  const reading = Date.parse(`${text}:00Z`);
  // Date.parse takes a 31st of February for a day in March.
  if (Number.isNaN(reading) || textOf(reading) !== text) return null;
  return instantOfReading(reading, wallClockOf(firstKnownZone([zone])));
}

/** What the clock on the wall of `zone` reads at an instant (UTC ms), to the minute that has begun. */
export function localTimeAt(at: number, zone: string): string {
  return textOf(wallClockOf(firstKnownZone([zone]))(at));
}

const textOf = (reading: number): string =>
  new Date(reading).toISOString().slice(0, 'YYYY-MM-DDTHH:MM'.length);
