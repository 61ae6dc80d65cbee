// One stop and its count, as the phone's book has them now. The count follows a moment after a scan, so that the answer to
// the scan itself is never held up by it.
import { startTransition, useEffect, useMemo, useState } from 'react';
import { computeCount } from '#domain/count.ts';
import type { Count } from '#domain/count-shape.ts';
import type { PlaceId, StopId } from '#domain/ids.ts';
import { livingLines } from '#domain/ledger.ts';
import type { Stop } from '#domain/place.ts';
import type { Mode, ScanContext } from '../store/decide-verdict.ts';
import { narrowBook } from '../store/narrow-book.ts';
import type { PhoneBook } from '../store/phone-book.ts';
import { vehicleOfStop } from '../store/vehicles.ts';
import { useBook, usePage } from './page.tsx';

/** The latest round that was opened at a stop; 0 while none was. */
export function latestRound(book: PhoneBook, stopId: StopId): number {
  let round = 0;
  for (const line of livingLines([...book.lines.values()])) {
    if (line.kind === 'open' && line.stopId === stopId) round = Math.max(round, line.round);
  }
  return round;
}

// A book never changes, so its counts don't either; they go when the book goes.
const counted = new WeakMap<PhoneBook, Map<string, Count | null>>();

/** The count of a stop and round by this book. */
export function countBy(book: PhoneBook, stop: Stop, round: number): Count | null {
  const known = counted.get(book) ?? new Map<string, Count | null>();
  counted.set(book, known);
  const key = `${stop.id}/${round}`;
  const before = known.get(key);
  if (before !== undefined) return before;
  const { outfit, places, things, classes } = book;
  const count = computeCount({ book: narrowBook(book), stop, round, outfit, places, things, classes });
  known.set(key, count);
  return count;
}

export interface StopInView {
  readonly book: PhoneBook;
  readonly stop: Stop;
  readonly round: number;
  /** Null while nobody opened it. */
  readonly count: Count | null;
  readonly vehicleId: PlaceId | null;
  /** What a scan is decided by, from the book of this very moment. Null for an outfit without a vehicle. */
  readonly scanContext: (mode: Mode) => ScanContext | null;
}

const QUIET_MS = 100;

/**
 * The book as it is when a screen opens, and then each time nothing was written for a tenth of a second: scans that come
 * quickly are not held up by counts that the next scan would make anew.
 */
function useBookWhenQuiet(): PhoneBook {
  const book = useBook();
  const [settled, setSettled] = useState(book);
  useEffect(() => {
    if (book === settled) return;
    const timer = setTimeout(() => startTransition(() => setSettled(book)), QUIET_MS);
    return () => clearTimeout(timer);
  }, [book, settled]);
  return settled;
}

/** Null for a stop that this phone does not know (any more). */
export function useStop(stopId: StopId): StopInView | null {
  const { phone } = usePage();
  const book = useBookWhenQuiet();
  return useMemo(() => {
    const stop = book.stops.get(stopId);
    if (stop === undefined) return null;
    const round = Math.max(1, latestRound(book, stopId));
    const count = countBy(book, stop, round);
    const vehicleId = count?.vehicleId ?? vehicleOfStop(book, stopId);
    const asked = new Set(count?.lines.map((line) => line.thingId));
    const scanContext = (mode: Mode): ScanContext | null => {
      const now = phone.read().book;
      if (now === null || vehicleId === null) return null;
      const openedAt = count?.openedAt ?? null;
      const isAsked: ScanContext['isAsked'] = (thingId) => asked.has(thingId);
      return {
        phone: now,
        mode,
        stopId,
        stopPlaceId: stop.placeId,
        round: count === null ? null : round,
        openedAt,
        vehicleId,
        isAsked,
      };
    };
    return { book, stop, round, count, vehicleId, scanContext };
  }, [book, phone, stopId]);
}
