// One stop and its count, as the phone's book has them. The count follows a moment after a scan, in slices, so that the answer
// to the scan itself is never held up by it.
import { startTransition, useEffect, useMemo, useState } from 'react';
import { countInSteps } from '#domain/count.ts';
import type { Count } from '#domain/count-shape.ts';
import type { PlaceId, StopId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import { allSteps, type Steps } from '#domain/steps.ts';
import type { Mode, ScanContext } from '../store/decide-verdict.ts';
import { narrowBook } from '../store/narrow-book.ts';
import type { PhoneBook } from '../store/phone-book.ts';
import { keepRecounting, type Recount } from '../store/recount.ts';
import { vehicleOfStop } from '../store/vehicles.ts';
import { usePage } from './page.tsx';

/** The latest round that was opened at a stop; 0 while none was. */
export function latestRound(book: PhoneBook, stopId: StopId): number {
  const voided = new Set<string>();
  const opened: { readonly id: string; readonly round: number }[] = [];
  for (const line of book.lines.values()) {
    if (line.kind === 'void') voided.add(line.voids);
    else if (line.kind === 'open' && line.stopId === stopId) opened.push(line);
  }
  return Math.max(0, ...opened.filter(({ id }) => !voided.has(id)).map(({ round }) => round));
}

// A book never changes, so its counts don't either; they go when the book goes.
const counted = new WeakMap<PhoneBook, Map<string, Count | null>>();

function* countSteps(book: PhoneBook, stop: Stop, round: number): Steps<Count | null> {
  const known = counted.get(book) ?? new Map<string, Count | null>();
  counted.set(book, known);
  const key = `${stop.id}/${round}`;
  const before = known.get(key);
  if (before !== undefined) return before;
  const { outfit, places, things, classes } = book;
  const narrow = narrowBook(book);
  yield;
  const count = yield* countInSteps({ book: narrow, stop, round, outfit, places, things, classes });
  known.set(key, count);
  return count;
}

/** The count of a stop and round by this book. */
export function countBy(book: PhoneBook, stop: Stop, round: number): Count | null {
  return allSteps(countSteps(book, stop, round));
}

interface StopSeen {
  readonly book: PhoneBook;
  readonly stop: Stop;
  readonly round: number;
  /** Null while nobody opened it. */
  readonly count: Count | null;
  readonly vehicleId: PlaceId | null;
}

export interface StopInView extends StopSeen {
  /** What a scan is decided by, from the book of this very moment. Null for an outfit without a vehicle. */
  readonly scanContext: (mode: Mode) => ScanContext | null;
}

function* seeStop(book: PhoneBook, stopId: StopId): Steps<StopSeen | null> {
  const stop = book.stops.get(stopId);
  if (stop === undefined) return null;
  const round = Math.max(1, latestRound(book, stopId));
  yield;
  const count = yield* countSteps(book, stop, round);
  return { book, stop, round, count, vehicleId: count?.vehicleId ?? vehicleOfStop(book, stopId) };
}

/** As the book has it when the screen opens, and from then on as it has it each time nothing was written for a moment. */
function useStopSeen(stopId: StopId): StopSeen | null {
  const { phone } = usePage();
  const [first] = useState(() => {
    const { book } = phone.read();
    return { book, seen: book === null ? null : allSteps(seeStop(book, stopId)) };
  });
  const [seen, setSeen] = useState(first.seen);
  useEffect(() => {
    let last = first.book;
    const recount: Recount<PhoneBook> = keepRecounting(
      (book) => seeStop(book, stopId),
      (made) => startTransition(() => setSeen(made)),
    );
    const look = () => {
      const { book } = phone.read();
      if (book === null || book === last) return;
      last = book;
      recount.want(book);
    };
    look();
    const unlisten = phone.listen(look);
    return () => {
      unlisten();
      recount.stop();
    };
  }, [phone, stopId, first]);
  return seen;
}

/** Null for a stop that this phone does not know (any more). */
export function useStop(stopId: StopId): StopInView | null {
  const { phone } = usePage();
  const seen = useStopSeen(stopId);
  return useMemo(() => {
    if (seen === null) return null;
    const { stop, round, count, vehicleId } = seen;
    const asked = new Set(count?.lines.map((line) => line.thingId));
    const scanContext = (mode: Mode): ScanContext | null => {
      const now = phone.read().book;
      if (now === null || vehicleId === null) return null;
      return {
        phone: now,
        mode,
        stopId: stop.id,
        stopPlaceId: stop.placeId,
        round: count === null ? null : round,
        openedAt: count?.openedAt ?? null,
        vehicleId,
        isAsked: (thingId) => asked.has(thingId),
      };
    };
    return { ...seen, scanContext };
  }, [seen, phone]);
}
