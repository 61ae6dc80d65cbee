// A stop in one tap, named later.
import { placeIdSchema, stopIdSchema } from '#domain/ids.ts';
import type { NewStop } from '#domain/place.ts';
import { firstKnownZone } from '#domain/working-day.ts';
import type { PhoneBook } from '../store/phone-book.ts';
import { makeId } from '../store/write-down.ts';

/** A new stop here and now. Its zone is the phone's own, because the phone is where the stop is. */
export function newStopHere(book: PhoneBook, kind: NewStop['kind'], now: number): NewStop {
  const own = new Intl.DateTimeFormat().resolvedOptions().timeZone;
  const zone = firstKnownZone([own, book.outfit.zone]);
  const when = new Intl.DateTimeFormat('en-GB', {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
    timeZone: zone,
  }).format(now);
  const name = kind === 'hotel' ? `Hotel, ${when}` : `Stop, ${when}`;
  return {
    id: stopIdSchema.parse(makeId()),
    jobId: null,
    name,
    kind,
    zone,
    startsAt: now,
    unnamed: true,
    place: { id: placeIdSchema.parse(makeId()), name, isNew: true },
  };
}
