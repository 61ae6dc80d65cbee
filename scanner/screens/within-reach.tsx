// Stands before every screen that shows a count: where the book of this phone does not reach back to its day, it says so in
// words, and offers what helps.
import { type ReactNode, useMemo } from 'react';
import type { StopId } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { type OutOfReach, outOfReach } from '../store/out-of-reach.ts';
import { Frame } from './frame.tsx';
import { useBook, usePage, useSyncState } from './page.tsx';
import type { Route } from './route.ts';
import { timeText } from './words.ts';

const SHOW_A_COUNT: readonly Route['at'][] = [
  'stop',
  'count',
  'compartment',
  'line',
  'container',
  'close',
  'closed',
  'lists',
];

export function WithinReach({ route, children }: { readonly route: Route; readonly children: ReactNode }) {
  if (!('stopId' in route) || route.stopId === null || !SHOW_A_COUNT.includes(route.at)) return children;
  return <OfStop stopId={route.stopId}>{children}</OfStop>;
}

function OfStop({ stopId, children }: { readonly stopId: StopId; readonly children: ReactNode }) {
  const book = useBook();
  const { lines, stops, outfit, since } = book;
  // biome-ignore lint/correctness/useExhaustiveDependencies: of the book only these say it, and a scan changes the others.
  const beyond = useMemo(() => outOfReach(book, stopId), [lines, stops, outfit, since, stopId]);
  return beyond === null ? children : <NotReached stopId={stopId} beyond={beyond} />;
}

function NotReached({ stopId, beyond }: { readonly stopId: StopId; readonly beyond: OutOfReach }) {
  const book = useBook();
  const state = useSyncState();
  const { go, sync } = usePage();
  const stop = book.stops.get(stopId);
  const text = (at: number) => timeText(at, stop?.zone ?? book.outfit.zone, Date.now());
  const reading = state.kind === 'loading';
  return (
    <Frame title={stop?.name ?? 'A stop'} figure="too long ago">
      <p className="lead">This phone can’t show this count.</p>
      <p>
        Its day began {text(beyond.dayBeganAt)}, and what this phone knows begins {text(book.since)}. It can’t
        tell what was aboard then, so it shows nothing rather than something wrong. What was said of it is not
        lost.
      </p>
      <p role="status">
        {state.kind === 'offline'
          ? 'The service does not answer just now. Both ways below need it.'
          : state.kind === 'elsewhere'
            ? 'Another tab of this browser talks with the service: close it, then read the catalogue here.'
            : 'A newly read catalogue reaches back to every count that is not closed, for up to 60 days. The desk shows older ones.'}
      </p>
      <div className="answers">
        <Button kind="main" wide disabled={reading} onClick={sync.readAnew}>
          {reading ? 'Reading the catalogue' : 'Read the catalogue again'}
        </Button>
        <a className="button" href={`/counts/${stopId}/${beyond.round}`}>
          Look at it on the desk
        </a>
        <Button wide icon="place" onClick={() => go({ at: 'stops' })}>
          Stops
        </Button>
      </div>
    </Frame>
  );
}
