// Everything that happened to a thing, the latest first; the latest line can be undone.
import { useState } from 'react';
import { Link } from 'react-router';
import type { Recorded } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import type { Refused } from '../data/ask.ts';
import type { History } from '../data/history.ts';
import { usePeople, useStops } from '../data/names.ts';
import type { Places } from '../data/places.ts';
import { voidOf, writeFacts } from '../data/write.ts';
import { Button } from '../look/button.tsx';
import { Tape } from '../look/tape.tsx';
import { PlaceChain, RefusedNotice, useOutfit, WideTable } from './parts.tsx';
import { showTime, whatHappened } from './words.ts';

function LineTimes({ line, stop }: { readonly line: Recorded; readonly stop: Stop | undefined }) {
  const { zone } = useOutfit();
  return (
    <>
      <time dateTime={new Date(line.at).toISOString()}>{showTime(line.at, zone)}</time>
      {stop && stop.zone !== zone ? (
        <span className="small other-zone">{showTime(line.at, stop.zone)} there</span>
      ) : null}
      {line.timeUncertain ? <span className="small other-zone">time not certain</span> : null}
    </>
  );
}

/** Where to: a link into the tree, and from where when the line says so. */
function LinePlace({ line, places }: { readonly line: Recorded; readonly places: Places | null }) {
  const toId = 'toId' in line ? line.toId : null;
  const fromId = line.kind === 'quantity' ? line.fromId : null;
  const spot = 'spot' in line ? line.spot : null;
  return (
    <>
      {spot ? <strong>{spot}, </strong> : null}
      {toId ? <PlaceChain placeId={toId} places={places} /> : null}
      {fromId ? (
        <span className="small">
          {toId ? ' from ' : 'from '}
          <PlaceChain placeId={fromId} places={places} />
        </span>
      ) : null}
    </>
  );
}

interface HistoryRowProps {
  readonly line: Recorded;
  readonly isUndone: boolean;
  readonly places: Places | null;
  readonly who: string | undefined;
  readonly stop: Stop | undefined;
  readonly onUndo: (() => void) | null;
}

function HistoryRow({ line, isUndone, places, who, stop, onUndo }: HistoryRowProps) {
  return (
    <tr className={isUndone ? 'undone' : ''}>
      <td className="number">
        <LineTimes line={line} stop={stop} />
      </td>
      <td>
        {isUndone ? <s>{whatHappened(line)}</s> : whatHappened(line)}
        {isUndone ? <span className="small"> undone</span> : null}
        {line.note ? <span className="small"> {line.note}</span> : null}
      </td>
      <td>
        <LinePlace line={line} places={places} />
      </td>
      <td>
        {stop && line.round ? (
          <Link to={`/counts/${stop.id}/${line.round}`}>{stop.name}</Link>
        ) : (
          (stop?.name ?? '')
        )}
      </td>
      <td>{who ?? ''}</td>
      <td className="not-on-paper">
        {onUndo ? (
          <Button icon="undo" onClick={onUndo}>
            Undo
          </Button>
        ) : null}
      </td>
    </tr>
  );
}

function HistoryTable({
  history,
  places,
  onUndo,
}: {
  readonly history: History;
  readonly places: Places | null;
  readonly onUndo: (line: Recorded) => void;
}) {
  const people = usePeople();
  const stops = useStops();
  const latest = history.lines.find(({ id, kind }) => kind !== 'void' && !history.undone.has(id));
  return (
    <WideTable name="History">
      <table>
        <thead>
          <tr>
            <th scope="col" className="number">
              When
            </th>
            <th scope="col">What</th>
            <th scope="col">Where</th>
            <th scope="col">Stop</th>
            <th scope="col">Who</th>
            <th scope="col" className="not-on-paper">
              <span className="unseen">Undo</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {history.lines.map((line) => (
            <HistoryRow
              key={line.id}
              line={line}
              isUndone={history.undone.has(line.id)}
              places={places}
              who={people.get(line.personId ?? '')?.name}
              stop={stops.get(line.stopId ?? '')}
              onUndo={line === latest ? () => onUndo(line) : null}
            />
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}

export function ThingHistory({
  history,
  places,
  onUndone,
}: {
  readonly history: History;
  readonly places: Places | null;
  readonly onUndone: () => void;
}) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const takeBack = async (line: Recorded) => {
    const written = await writeFacts([voidOf(line)]);
    setRefused(written.ok ? null : written);
    onUndone();
  };
  return (
    <section aria-labelledby="history">
      <Tape
        level={2}
        id="history"
        figure={history.lines.length === 1 ? '1 line' : `${history.lines.length} lines`}
      >
        History
      </Tape>
      {refused ? <RefusedNotice refused={refused} /> : null}
      {history.lines.length === 0 ? (
        <p>Nothing has happened to it yet. The first scan or tap on the phone page shows up here.</p>
      ) : (
        <HistoryTable history={history} places={places} onUndo={takeBack} />
      )}
    </section>
  );
}
