// Days and times of stops as people here write them, in the zone of the stop.
import { firstKnownZone } from '#domain/working-day.ts';
import { showDate } from './words.ts';

/** "23:41". */
export function showClock(at: number, zone: string): string {
  const timeZone = firstKnownZone([zone]);
  return new Intl.DateTimeFormat(undefined, { timeStyle: 'short', timeZone }).format(at);
}

/** "Wednesday 25 November 2026", of a calendar date, which has no zone. */
export function showDay(date: string): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: 'full', timeZone: 'UTC' }).format(Date.parse(date));
}

/** "20 to 27 Nov 2026", as far as the days are known. */
export function showDates(from: string | null, until: string | null): string {
  if (from === null) return until === null ? '' : `until ${showDate(until)}`;
  if (until === null) return `from ${showDate(from)}`;
  const format = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeZone: 'UTC' });
  return format.formatRange(Date.parse(from), Date.parse(until));
}
