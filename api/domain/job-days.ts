// The stops of a job as days: a day turns at 05:00 of each stop's own zone (a setting), so a wrap after midnight and the
// hotel after it still belong to the evening before.
import { localTimeAt } from './local-time.ts';
import type { Outfit, Stop } from './place.ts';
import { firstKnownZone, workingDayBeganAt } from './working-day.ts';

export interface JobDay {
  /** The calendar date on which the working day began, "2026-11-25". */
  readonly date: string;
  /** In the order in which they begin. */
  readonly stops: readonly Stop[];
}

/** The working day that an instant (UTC ms) belongs to in a zone, as the calendar date on which it began. */
export function workingDateOf(
  at: number,
  zone: string,
  outfit: Pick<Outfit, 'dayTurnsMinutes' | 'zone'>,
): string {
  const known = firstKnownZone([zone, outfit.zone]);
  return localTimeAt(workingDayBeganAt(at, known, outfit.dayTurnsMinutes), known).slice(
    0,
    'YYYY-MM-DD'.length,
  );
}

/** Stops in any order, as days from the first to the last. A day without stops is left out. */
export function daysOfStops(
  stops: readonly Stop[],
  outfit: Pick<Outfit, 'dayTurnsMinutes' | 'zone'>,
): readonly JobDay[] {
  const ordered = [...stops].sort((a, b) => a.startsAt - b.startsAt || (a.id < b.id ? -1 : 1));
  const days = new Map<string, Stop[]>();
  for (const stop of ordered) {
    const date = workingDateOf(stop.startsAt, stop.zone, outfit);
    days.set(date, [...(days.get(date) ?? []), stop]);
  }
  return [...days].sort(([a], [b]) => (a < b ? -1 : 1)).map(([date, ofDay]) => ({ date, stops: ofDay }));
}
