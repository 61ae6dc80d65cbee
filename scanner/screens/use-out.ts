// What is still out there, by the phone's book.
import { useMemo } from 'react';
import { type StillOutLine, stillOut } from '#domain/still-out.ts';
import { firstKnownZone, workingDayBeganAt } from '#domain/working-day.ts';
import { bookOf } from '../store/phone-book.ts';
import { useBook } from './page.tsx';

export function useStillOut(): readonly StillOutLine[] {
  const book = useBook();
  return useMemo(() => {
    const { places, things, classes, outfit } = book;
    const now = Date.now();
    const dayBeganAt = workingDayBeganAt(now, firstKnownZone([outfit.zone]), outfit.dayTurnsMinutes);
    return stillOut({ book: bookOf(book), places, things, classes, now, dayBeganAt });
  }, [book]);
}
