// Everything that happened to a thing on a time line, the latest first, day by day as it was at the stop; the latest line
// can be undone.
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
import { PlaceChain, RefusedNotice, useOutfit } from './parts.tsx';
import { whatHappened } from './words.ts';

/** So many lines are drawn at first, and more on each press. */
const SHOWN_AT_ONCE = 60;

const dayIn = (at: number, zone: string): string =>
  new Intl.DateTimeFormat(undefined, { dateStyle: 'full', timeZone: zone }).format(at);
const clockIn = (at: number, zone: string): string =>
  new Intl.DateTimeFormat(undefined, { timeStyle: 'short', timeZone: zone }).format(at);

/** At the stop first, because the day went by its clock; at home too, when that is another. */
function LineTimes({ line, stop }: { readonly line: Recorded; readonly stop: Stop | undefined }) {
  const { zone } = useOutfit();
  const there = stop?.zone ?? zone;
  return (
    <span className="time-line-times">
      <time dateTime={new Date(line.at).toISOString()}>{clockIn(line.at, there)}</time>
      {there === zone ? null : (
        <span className="small other-zone">
          {clockIn(line.at, zone)}
          {dayIn(line.at, zone) === dayIn(line.at, there) ? '' : ', another day,'} at home
        </span>
      )}
      {line.timeUncertain ? <span className="small other-zone">time not certain</span> : null}
    </span>
  );
}

/** Where to: a link into the tree, and from where when the line says so. */
function LinePlace({ line, places }: { readonly line: Recorded; readonly places: Places | null }) {
  const toId = 'toId' in line ? line.toId : null;
  const fromId = line.kind === 'quantity' ? line.fromId : null;
  const spot = 'spot' in line ? line.spot : null;
  if (!spot && !toId && !fromId) return null;
  return (
    <span className="time-line-place">
      {spot ? <strong>{spot}, </strong> : null}
      {toId ? <PlaceChain placeId={toId} places={places} /> : null}
      {fromId ? (
        <span className="small">
          {toId ? ' from ' : 'from '}
          <PlaceChain placeId={fromId} places={places} />
        </span>
      ) : null}
    </span>
  );
}

interface LineProps {
  readonly line: Recorded;
  readonly isUndone: boolean;
  readonly places: Places | null;
  readonly who: string | undefined;
  readonly stop: Stop | undefined;
  readonly onUndo: (() => void) | null;
}

function HistoryLine({ line, isUndone, places, who, stop, onUndo }: LineProps) {
  const isMissing = line.kind === 'absence' && !isUndone;
  return (
    <li className={isUndone ? 'undone' : ''}>
      <LineTimes line={line} stop={stop} />
      <div className="time-line-what">
        <span className={isMissing ? 'tone-bad strong' : 'strong'}>
          {isUndone ? <s>{whatHappened(line)}</s> : whatHappened(line)}
        </span>
        {isUndone ? <span className="small"> undone</span> : null}
        {line.note ? <span className="small"> {line.note}</span> : null}
        <LinePlace line={line} places={places} />
      </div>
      <span className="time-line-who">
        {stop && line.round ? (
          <Link to={`/counts/${stop.id}/${line.round}`}>{stop.name}</Link>
        ) : (
          (stop?.name ?? '')
        )}
        {who ? <span className="small">{who}</span> : null}
      </span>
      {onUndo ? (
        <span className="time-line-undo not-on-paper">
          <Button icon="undo" onClick={onUndo}>
            Undo
          </Button>
        </span>
      ) : null}
    </li>
  );
}

interface Day {
  readonly name: string;
  readonly lines: readonly Recorded[];
}

function useDays(lines: readonly Recorded[]): readonly Day[] {
  const { zone } = useOutfit();
  const stops = useStops();
  const days: { name: string; lines: Recorded[] }[] = [];
  for (const line of lines) {
    const name = dayIn(line.at, stops.get(line.stopId ?? '')?.zone ?? zone);
    const last = days.at(-1);
    if (last?.name === name) last.lines.push(line);
    else days.push({ name, lines: [line] });
  }
  return days;
}

interface TimeLineProps {
  readonly history: History;
  readonly places: Places | null;
  readonly shown: number;
  readonly onUndo: (line: Recorded) => void;
}

function TimeLine({ history, places, shown, onUndo }: TimeLineProps) {
  const people = usePeople();
  const stops = useStops();
  const days = useDays(history.lines.slice(0, shown));
  const latest = history.lines.find(({ id, kind }) => kind !== 'void' && !history.undone.has(id));
  return (
    <div className="time-line">
      {days.map((day) => (
        <section key={day.lines[0]?.id} aria-label={day.name}>
          <h3>{day.name}</h3>
          <ol>
            {day.lines.map((line) => (
              <HistoryLine
                key={line.id}
                line={line}
                isUndone={history.undone.has(line.id)}
                places={places}
                who={people.get(line.personId ?? '')?.name}
                stop={stops.get(line.stopId ?? '')}
                onUndo={line === latest ? () => onUndo(line) : null}
              />
            ))}
          </ol>
        </section>
      ))}
    </div>
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
  const [shown, setShown] = useState(SHOWN_AT_ONCE);
  const { length } = history.lines;
  const takeBack = async (line: Recorded) => {
    const written = await writeFacts([voidOf(line)]);
    setRefused(written.ok ? null : written);
    onUndone();
  };
  return (
    <section aria-labelledby="history">
      <Tape level={2} id="history" figure={length === 1 ? '1 line' : `${length} lines`}>
        History
      </Tape>
      {refused ? <RefusedNotice refused={refused} /> : null}
      {length === 0 ? (
        <p>Nothing has happened to it yet. The first scan or tap on the phone page shows up here.</p>
      ) : (
        <TimeLine history={history} places={places} shown={shown} onUndo={(line) => void takeBack(line)} />
      )}
      {length > shown ? (
        <Button onClick={() => setShown(shown + SHOWN_AT_ONCE * 4)}>
          Show older lines, {length - shown} more
        </Button>
      ) : null}
    </section>
  );
}
