// A screen's data: asked when the screen opens and again when the outfit changes.
import { useCallback, useEffect, useState } from 'react';
import type { z } from 'zod';
import { type Asked, ask } from './ask.ts';
import { useChangeNumber } from './changes.ts';

export type Answer<T> = Asked<T> | 'loading';

export interface Told<T> {
  readonly answer: Answer<T>;
  readonly again: () => void;
}

interface Kept<T> {
  readonly about: string | null;
  readonly value: Answer<T>;
}

// While the service is away, what it said last stays on the screen; the frame says that it is away.
function keepWhileAway<T>(before: Kept<T>, about: string, value: Asked<T>): Kept<T> {
  const isAway = !value.ok && (value.status === 0 || value.status === 503);
  const hasOld = before.about === about && before.value !== 'loading' && before.value.ok;
  return isAway && hasOld ? before : { about, value };
}

/**
 * Asks `question` about `about` (an address) when that changes and when the outfit changes. The last answer stays on
 * screen while a newer one is fetched. A null address asks nothing.
 */
export function useAsked<T>(
  about: string | null,
  question: (path: string, signal: AbortSignal) => Promise<Asked<T>>,
): Told<T> {
  const [kept, setKept] = useState<Kept<T>>({ about, value: 'loading' });
  const [turn, setTurn] = useState(0);
  const change = useChangeNumber();
  // biome-ignore lint/correctness/useExhaustiveDependencies: turn and change are what makes it ask again.
  useEffect(() => {
    if (about === null) return;
    const stop = new AbortController();
    question(about, stop.signal)
      .then((value) => {
        if (!stop.signal.aborted) setKept((before) => keepWhileAway(before, about, value));
      })
      .catch((error: unknown) => {
        if (!stop.signal.aborted) throw error;
      });
    return () => stop.abort();
  }, [about, question, turn, change]);
  const again = useCallback(() => setTurn((before) => before + 1), []);
  return { answer: kept.about === about ? kept.value : 'loading', again };
}

/** One address, parsed by one schema, which must be the same object every time. */
export function useAnswer<S extends z.ZodType>(path: string | null, schema: S): Told<z.infer<S>> {
  const question = useCallback(
    (about: string, signal: AbortSignal) => ask(about, schema, { signal }),
    [schema],
  );
  return useAsked<z.infer<S>>(path, question);
}
