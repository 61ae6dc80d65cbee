// What was just done to a thing, with its way back, or why it could not be done. One of them at a time.
import { useCallback, useMemo, useState } from 'react';
import type { Fact } from '#domain/count-answers.ts';
import type { Asked, Refused } from '../data/ask.ts';
import { voidOf, writeFacts } from '../data/write.ts';
import { UndoBar } from '../look/undo-bar.tsx';
import { RefusedNotice } from './parts.tsx';

export interface Deed {
  /** What was done, as a sentence. */
  readonly words: string;
  readonly undo: () => Promise<Asked<unknown>>;
}
export interface Deeds {
  readonly done: Deed | null;
  readonly refused: Refused | null;
  /** Does it, and says what was done or why not. Whether it was done. */
  readonly run: <T>(action: () => Promise<Asked<T>>, deedOf: (body: T) => Deed | null) => Promise<boolean>;
  /** Writes facts into the ledger; undo takes their lines back. */
  readonly write: (facts: readonly Fact[], words: string) => Promise<boolean>;
  readonly refuse: (refused: Refused | null) => void;
}

/** `onChanged`: called after anything was written, so that the screen asks again. */
export function useDeeds(onChanged: () => void): Deeds {
  const [done, setDone] = useState<Deed | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const run = useCallback<Deeds['run']>(
    async (action, deedOf) => {
      const answer = await action();
      setRefused(answer.ok ? null : answer);
      if (answer.ok) setDone(deedOf(answer.body));
      onChanged();
      return answer.ok;
    },
    [onChanged],
  );
  const write = useCallback<Deeds['write']>(
    (facts, words) =>
      run(
        () => writeFacts(facts),
        (lines) => ({ words, undo: () => writeFacts(lines.map(voidOf)) }),
      ),
    [run],
  );
  return useMemo(() => ({ done, refused, run, write, refuse: setRefused }), [done, refused, run, write]);
}

export function DeedsBar({ deeds }: { readonly deeds: Deeds }) {
  const { done, refused, run } = deeds;
  return (
    <>
      {refused ? <RefusedNotice refused={refused} /> : null}
      {done ? (
        <div className="thing-done">
          <UndoBar done={done.words} onUndo={() => run(done.undo, () => null)} />
        </div>
      ) : null}
    </>
  );
}
