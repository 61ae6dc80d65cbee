// Keeps a count up with the book without ever standing in the way of a scan: it waits until nothing has been written for a
// moment, works in slices between which the page answers, and lets go of work that a newer book has made old.
import type { Steps } from '#domain/steps.ts';

/** The clock and the timer of whoever uses this. Milliseconds. */
export interface Room {
  readonly now: () => number;
  /** Runs a task later; the answer takes it back. */
  readonly later: (task: () => void, ms: number) => () => void;
}

export const BROWSER_ROOM: Room = {
  now: () => performance.now(),
  later: (task, ms) => {
    const timer = setTimeout(task, ms);
    return () => clearTimeout(timer);
  },
};

/** Scans that come quickly are a tenth of a second apart at the least. */
export const QUIET_MS = 100;
/** A frame has 16 ms; the other half is the page's. */
export const SLICE_MS = 8;
/** Whoever scans without a pause still sees the count move: work that is under way so long is brought to its end. */
export const STALE_MS_MAX = 2_000;

export interface Recount<B> {
  /** A newer book: what was made of an older one is no longer wanted. */
  readonly want: (book: B) => void;
  readonly stop: () => void;
}

/** `work` makes something of a book, in steps; `onMade` is told each result that came to its end, in the order of the books. */
export function keepRecounting<B, T>(
  work: (book: B) => Steps<T>,
  onMade: (made: T) => void,
  room: Room = BROWSER_ROOM,
): Recount<B> {
  let wanted: { readonly book: B; readonly since: number } | null = null;
  let underWay: { readonly book: B; readonly steps: Steps<T> } | null = null;
  let takeBack: () => void = () => {};
  const next = (task: () => void, ms: number) => {
    takeBack();
    takeBack = room.later(task, ms);
  };
  const begin = () => {
    if (wanted === null) return;
    underWay = { book: wanted.book, steps: work(wanted.book) };
    slice();
  };
  const slice = () => {
    if (underWay === null) return;
    const until = room.now() + SLICE_MS;
    do {
      const step = underWay.steps.next();
      if (step.done) return end(underWay.book, step.value);
    } while (room.now() < until);
    next(slice, 0);
  };
  const end = (book: B, made: T) => {
    underWay = null;
    const isLatest = wanted?.book === book;
    wanted = isLatest || wanted === null ? null : { book: wanted.book, since: room.now() };
    onMade(made);
    if (wanted !== null) next(begin, QUIET_MS);
  };
  return {
    want: (book) => {
      wanted = { book, since: wanted?.since ?? room.now() };
      if (underWay !== null && room.now() - wanted.since > STALE_MS_MAX) return;
      underWay = null;
      next(begin, QUIET_MS);
    },
    stop: () => {
      takeBack();
      underWay = null;
      wanted = null;
    },
  };
}
