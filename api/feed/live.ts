// Wakes the live streams of this process: it listens to the numbering step, and looks by itself every two seconds.
import type postgres from 'postgres';
import { CHANGE_CHANNEL, numberChanges } from './number-changes.ts';

/** Changes are numbered at most this long after their commit while anybody listens. */
const NUMBERING_MS = 50;
const POLL_MS = 2_000;

export interface Live {
  /** Calls `wake` whenever there may be something new; the returned function ends that. */
  readonly listen: (wake: () => void) => () => void;
}

/** One for each process and database: many streams share one listening connection and one pair of timers. */
export function makeLive(sql: postgres.Sql, onTrouble: (error: unknown) => void): Live {
  const wakes = new Set<() => void>();
  const wakeAll = () => {
    for (const wake of wakes) wake();
  };
  let stop: (() => void) | null = null;
  const begin = () => {
    let numbering = false;
    const number = async () => {
      if (numbering) return;
      numbering = true;
      await numberChanges(sql).catch(onTrouble);
      numbering = false;
    };
    const timers = [setInterval(() => void number(), NUMBERING_MS), setInterval(wakeAll, POLL_MS)];
    const listening = sql.listen(CHANGE_CHANNEL, wakeAll).catch(onTrouble);
    return () => {
      for (const timer of timers) clearInterval(timer);
      void listening.then((request) => request?.unlisten()).catch(onTrouble);
    };
  };
  return {
    listen: (wake) => {
      wakes.add(wake);
      stop ??= begin();
      return () => {
        wakes.delete(wake);
        if (wakes.size > 0) return;
        stop?.();
        stop = null;
      };
    },
  };
}
