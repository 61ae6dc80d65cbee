// Which things of a list are selected, to do something with all of them. It lasts as long as the screen does.
import { useMemo, useState } from 'react';
import type { Thing } from '#domain/thing.ts';

/** What is known of a selected thing: enough to name it, and the version that was seen. */
export type Selected = Pick<Thing, 'id' | 'name' | 'version' | 'faulty'>;

export interface Selection {
  /** In the order in which they were selected. */
  readonly all: readonly Selected[];
  readonly has: (id: string) => boolean;
  readonly toggle: (thing: Selected) => void;
  readonly add: (things: readonly Selected[]) => void;
  readonly clear: () => void;
}

const kept = ({ id, name, version, faulty }: Selected): Selected => ({ id, name, version, faulty });

export function useSelection(): Selection {
  const [chosen, setChosen] = useState<ReadonlyMap<string, Selected>>(new Map());
  return useMemo(
    () => ({
      all: [...chosen.values()],
      has: (id) => chosen.has(id),
      toggle: (thing) =>
        setChosen((before) => {
          const next = new Map(before);
          if (!next.delete(thing.id)) next.set(thing.id, kept(thing));
          return next;
        }),
      add: (things) =>
        setChosen(
          (before) => new Map([...before, ...things.map((thing) => [thing.id, kept(thing)] as const)]),
        ),
      clear: () => setChosen(new Map()),
    }),
    [chosen],
  );
}
