// Whether the book of this phone reaches back to what a count is made from. One that does not would be a wrong count that looks
// like a right one, so it is not shown at all.
import type { StopId } from '#domain/ids.ts';
import { firstKnownZone, workingDayBeganAt } from '#domain/working-day.ts';
import type { PhoneBook } from './phone-book.ts';

export interface OutOfReach {
  readonly round: number;
  /** When the working day of the count began, UTC ms: before the book does. */
  readonly dayBeganAt: number;
}

/** The latest count of a stop, when its working day began before this book; null where it can be counted, or nobody opened one. */
export function outOfReach(book: PhoneBook, stopId: StopId): OutOfReach | null {
  const stop = book.stops.get(stopId);
  const voided = new Set<string>();
  for (const line of book.lines.values()) if (line.kind === 'void') voided.add(line.voids);
  let opened: { readonly at: number; readonly round: number } | null = null;
  for (const line of book.lines.values()) {
    if (line.kind !== 'open' || line.stopId !== stopId || voided.has(line.id)) continue;
    const isLater = opened === null || line.round > opened.round;
    // Of two openings of one round the earlier one counts.
    if (isLater || (line.round === opened?.round && line.at < opened.at)) opened = line;
  }
  if (stop === undefined || opened === null) return null;
  const zone = firstKnownZone([stop.zone, book.outfit.zone]);
  const dayBeganAt = workingDayBeganAt(opened.at, zone, book.outfit.dayTurnsMinutes);
  return dayBeganAt < book.since ? { round: opened.round, dayBeganAt } : null;
}
