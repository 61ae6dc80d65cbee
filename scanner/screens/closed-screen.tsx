// A closed count: as it was closed, kept for good, and beside it as it is known now.
import { openOf } from '#domain/count-answers.ts';
import type { Count, CountLine } from '#domain/count-shape.ts';
import type { ClosedLine } from '#domain/movement.ts';
import { Button } from '../../web/look/button.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { CountLines } from './count-lines.tsx';
import { Frame, Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { SumsView } from './sums-view.tsx';
import { useStop } from './use-stop.ts';
import { personName, placeName, SAID_WORDS, timeText } from './words.ts';

const keyOf = (line: { readonly thingId: string; readonly placeId: string | null }) =>
  `${line.thingId} ${line.placeId ?? ''}`;

const ABSENT: readonly ClosedLine['said'][] = ['not-found', 'did-not-come', 'not-ours'];

/** The lines that read otherwise now than they were closed. */
function changedSince(count: Count, closed: readonly ClosedLine[]): readonly CountLine[] {
  const before = new Map(closed.map((line) => [keyOf(line), line]));
  return count.lines.filter((line) => {
    const then = before.get(keyOf(line));
    return then === undefined || then.said !== (line.said?.said ?? 'open') || then.found < (line.found ?? 0);
  });
}

export function ClosedScreen({ route }: { readonly route: RouteAt<'closed'> }) {
  const { stopId } = route;
  const view = useStop(stopId);
  const { act, go, replace } = usePage();
  const closed = view?.count?.closed ?? null;
  if (view === null || view.count === null || closed === null) {
    return (
      <Frame title="Not closed">
        <Button onClick={() => replace({ at: 'stop', stopId })}>To the stop</Button>
      </Frame>
    );
  }
  const { book, count, stop, round } = view;
  const again = async () => {
    if ((await act([openOf(stopId, round + 1, count.vehicleId)], 'Counted again.')) !== null) {
      go({ at: 'count', stopId });
    }
  };
  const absent = closed.lines.filter((line) => ABSENT.includes(line.said));
  const changed = changedSince(count, closed.lines);
  const now = Date.now();
  const at = timeText(closed.at, stop.zone, now);
  const by = personName(book, closed.personId);
  const isAllAboard =
    closed.sums.notFound === 0 &&
    closed.sums.aboard + closed.sums.away === closed.sums.expected &&
    closed.sums.notOpened === 0;
  return (
    <Frame title={stop.name} figure={`closed ${at}`}>
      <Section title="As closed" figure={[at, by].filter(Boolean).join(', ')}>
        <p className="lead">
          {isAllAboard ? 'All aboard.' : `Closed with ${closed.sums.notFound} not found yet.`}
        </p>
        {absent.length === 0 ? null : (
          <Lines label="As closed">
            {absent.map((line) => (
              <Line
                key={keyOf(line)}
                name={line.name}
                facts={[placeName(book, line.lastPlaceId ?? line.placeId), line.spot]
                  .filter(Boolean)
                  .join(' · ')}
                state={{
                  word: line.said === 'open' ? 'open' : SAID_WORDS[line.said],
                  tone: 'bad',
                  icon: 'missing',
                }}
              />
            ))}
          </Lines>
        )}
        <SumsView sums={closed.sums} />
      </Section>
      <Section title="As known now" figure={changed.length === 0 ? 'the same' : `${changed.length} changed`}>
        {changed.length === 0 ? (
          <p>Nothing that arrived later says otherwise.</p>
        ) : (
          <>
            <CountLines label="Changed since" lines={changed} stopId={stopId} book={book} />
            <SumsView sums={count.sums} />
          </>
        )}
      </Section>
      <div className="answers">
        <Button kind="main" wide icon="place" onClick={() => go({ at: 'stops' })}>
          Stops
        </Button>
        <Button wide icon="missing" onClick={() => go({ at: 'out' })}>
          Still out there
        </Button>
        <Button wide icon="battery" onClick={() => go({ at: 'lists', stopId })}>
          Refill and tidy
        </Button>
        <Button wide icon="count" onClick={() => void again()}>
          Count again
        </Button>
      </div>
    </Frame>
  );
}
