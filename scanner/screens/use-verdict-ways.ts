// Some answers lead to another screen: a compartment's code opens it, a case asks for its contents, counted gear asks for
// its number.
import { useEffect } from 'react';
import { isOpen } from '#domain/count-compartments.ts';
import { chainsOver } from '#domain/count-ground.ts';
import { asPlaceId } from '#domain/ids.ts';
import type { Mode } from '../store/decide-verdict.ts';
import { usePage } from './page.tsx';
import type { Scanning } from './use-scanning.ts';
import type { StopInView } from './use-stop.ts';

export function useVerdictWays(scanning: Scanning, view: StopInView | null, mode: Mode): void {
  const { go } = usePage();
  const { shown, clear } = scanning;
  useEffect(() => {
    if (shown === null || view === null) return;
    const { verdict } = shown;
    const { stop, count, book } = view;
    const stopId = stop.id;
    if (verdict.kind === 'place') {
      clear();
      if (count !== null && mode === 'aboard') go({ at: 'compartment', stopId, placeId: verdict.placeId });
      return;
    }
    if (verdict.kind === 'how-many') {
      clear();
      const { thing } = verdict;
      const line = mode === 'aboard' ? count?.lines.find(({ thingId }) => thingId === thing.id) : undefined;
      if (line === undefined) go({ at: 'thing', thingId: thing.id, stopId });
      else go({ at: 'line', stopId, thingId: line.thingId, placeId: line.placeId });
      return;
    }
    if (verdict.kind !== 'aboard' || shown.lines.length === 0 || !verdict.thing.container || count === null)
      return;
    const insideId = asPlaceId(verdict.thing.id);
    const chains = chainsOver(book.places, book.standing);
    const asks = count.lines.some((line) => {
      const at = line.placeId ?? line.last?.placeId;
      return (
        isOpen(line) && at !== undefined && line.thingId !== verdict.thing.id && chains.holds(at, insideId)
      );
    });
    if (!asks) return;
    clear();
    go({ at: 'container', stopId, thingId: verdict.thing.id });
  }, [shown, view, mode, go, clear]);
}
