// A count while it goes on: how far it is, and what was answered last, by whom and how. What came since this page was
// opened is marked.
import { useRef } from 'react';
import { Link } from 'react-router';
import { isOpen } from '#domain/count-compartments.ts';
import type { Count, CountLine, LineSaid } from '#domain/count-shape.ts';
import { Progress } from '../look/progress.tsx';
import { Tape } from '../look/tape.tsx';
import { keyOfLine } from './count-lines.tsx';
import { showClock } from './when.ts';
import { wordOfLine } from './words.ts';

const LATEST_SHOWN = 8;

type Answered = CountLine & { readonly said: LineSaid };

const latestOf = (count: Count): readonly Answered[] =>
  count.lines
    .flatMap((line): Answered[] => (line.said === null || isOpen(line) ? [] : [{ ...line, said: line.said }]))
    .sort((a, b) => b.said.at - a.said.at || (a.said.lineId < b.said.lineId ? 1 : -1));

/** Whether an answer came since the page was opened. */
function useIsNew(latest: readonly Answered[]): (line: Answered) => boolean {
  const first = useRef<ReadonlySet<string> | null>(null);
  first.current ??= new Set(latest.map(({ said, ...line }) => `${keyOfLine(line)} ${said.lineId}`));
  const seen = first.current;
  return (line) => !seen.has(`${keyOfLine(line)} ${line.said.lineId}`);
}

export function CountLive({
  count,
  zone,
  whoOf,
}: {
  readonly count: Count;
  readonly zone: string;
  readonly whoOf: (said: LineSaid | null) => string;
}) {
  const latest = latestOf(count);
  const isNew = useIsNew(latest);
  const fresh = latest.filter(isNew).length;
  const answered = count.lines.filter((line) => !isOpen(line)).length;
  return (
    <section className="count-live">
      <Progress label="Lines answered" done={answered} all={count.lines.length} />
      {latest.length === 0 ? null : (
        <>
          <Tape level={2} figure={fresh === 0 ? undefined : `${fresh} new`}>
            Answered last
          </Tape>
          <p className="unseen" role="status">
            {fresh === 0 ? '' : `${fresh} answered since you opened this page`}
          </p>
          <ol className="count-latest">
            {latest.slice(0, LATEST_SHOWN).map((line) => (
              <li key={`${keyOfLine(line)} ${line.said.lineId}`} className={isNew(line) ? 'is-new' : ''}>
                <span className="number">{showClock(line.said.at, zone)}</span>
                <Link to={`/things/${line.thingId}`}>
                  {line.kind === 'item' ? line.name : `${line.found ?? 0} of ${line.expected} × ${line.name}`}
                </Link>
                <span className="word">{wordOfLine(line)}</span>
                <span className="small">{whoOf(line.said)}</span>
                {isNew(line) ? <span className="mark">new</span> : null}
              </li>
            ))}
          </ol>
        </>
      )}
    </section>
  );
}
