// One count: live while phones scan; once closed, as it was closed beside as known now. Its open lines first, every line with
// what was said, by whom and when.
import './count.css';
import { Link, useParams } from 'react-router';
import { type Count, countSchema } from '#domain/count-shape.ts';
import { type Stop, stopSchema } from '#domain/place.ts';
import { usePeople } from '../data/names.ts';
import { usePlaces } from '../data/places.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { CountAside } from './count-aside.tsx';
import { ChangesSinceClosing } from './count-changes.tsx';
import { keyOfLine, type LinesContext, LinesTable } from './count-lines.tsx';
import { CountLive } from './count-live.tsx';
import { CompartmentTable, SumsTable } from './count-sums.tsx';
import { whoFinder } from './count-who.ts';
import { pathOfCount } from './count-words.tsx';
import { usePaperHead } from './paper-head.ts';
import { Answered, bodyOf, RefusedNotice, useOutfit, useTitle } from './parts.tsx';
import { showTime } from './words.ts';

function CountFacts({ count, stop }: { readonly count: Count; readonly stop: Stop }) {
  const { vehicleName, openedAt, closed, round, allAboard } = count;
  const facts = [
    `${vehicleName}${round > 1 ? `, round ${round}` : ''}`,
    `opened ${showTime(openedAt, stop.zone)}`,
    closed === null ? '' : `closed ${showTime(closed.at, stop.zone)}`,
    closed !== null && allAboard ? 'all aboard' : '',
  ].filter(Boolean);
  return (
    <p className="facts-line">
      {facts.join(' · ')} · <Link to={`/stops/${stop.id}`}>the stop</Link>
      {stop.jobId === null ? null : (
        <>
          {' '}
          of <Link to={`/jobs/${stop.jobId}`}>{stop.jobName}</Link>
        </>
      )}
    </p>
  );
}

function CountWays({ count }: { readonly count: Count }) {
  const path = pathOfCount(count);
  return (
    <div className="count-ways not-on-paper">
      <Button onClick={() => window.print()}>Print</Button>
      <Link className="button" to={`${path}/sheet`}>
        Wrap sheet
      </Link>
      <Link className="button" to={`${path}/from-paper`}>
        Enter ticks from paper
      </Link>
    </div>
  );
}

function StateOfCount({ count }: { readonly count: Count }) {
  if (count.closed !== null) {
    return <p className="measure">What was closed is kept for good; what came later stands beside it.</p>;
  }
  return (
    <Notice kind="news">
      <p>
        {count.mayClose ? 'Every line has an answer, and it is not closed yet. ' : 'Not closed yet. '}
        The <a href="/scan/">phone page</a> offers it first.
      </p>
    </Notice>
  );
}

function CountBody({ count, stop }: { readonly count: Count; readonly stop: Stop }) {
  const outfit = useOutfit();
  const { zone } = stop;
  const places = bodyOf(usePlaces().answer);
  const whoOf = whoFinder(count, usePeople());
  useTitle(count.stopName);
  usePaperHead(
    [outfit.name, stop.jobName].filter(Boolean).join(' · '),
    `${count.stopName} · ${showTime(count.closed?.at ?? count.openedAt, zone)}`,
  );
  const closed = new Map((count.closed?.lines ?? []).map((line) => [keyOfLine(line), line]));
  const isClosed = count.closed !== null;
  const context: LinesContext = { zone, places, closed, isClosed, vehicleId: count.vehicleId, whoOf };
  const inState = (...states: readonly string[]) => count.lines.filter((line) => states.includes(line.state));
  return (
    <>
      <Tape level={1}>{count.stopName}</Tape>
      <CountFacts count={count} stop={stop} />
      <CountWays count={count} />
      <StateOfCount count={count} />
      <div className="count-now">
        <div>
          <SumsTable count={count} />
          {isClosed ? null : <CompartmentTable compartments={count.compartments} />}
        </div>
        {isClosed ? (
          <CompartmentTable compartments={count.compartments} />
        ) : (
          <CountLive count={count} zone={zone} whoOf={whoOf} />
        )}
      </div>
      <ChangesSinceClosing count={count} context={context} />
      <LinesTable title="Still open" lines={inState('open', 'short')} context={context} />
      <LinesTable title="Not here" lines={inState('absent')} context={context} />
      <LinesTable title="Away on purpose" lines={inState('away')} context={context} />
      <CountAside count={count} zone={zone} places={places} />
      <LinesTable title="Aboard" lines={inState('aboard')} context={context} />
    </>
  );
}

/** A stop whose count nobody has opened: what to do. */
function NoCount({ stop, round }: { readonly stop: Stop; readonly round: string }) {
  useTitle(stop.name);
  return (
    <>
      <Tape level={1}>{stop.name}</Tape>
      <Empty title="Nobody has opened this count.">
        <p>
          On the <a href="/scan/">phone page</a>, open this stop and tap “back aboard”. Without a phone, print
          the wrap sheet and enter its ticks later.
        </p>
        <p className="count-ways">
          <Link className="button" to={`/counts/${stop.id}/${round}/sheet`}>
            Wrap sheet
          </Link>
          <Link className="button" to={`/counts/${stop.id}/${round}/from-paper`}>
            Enter ticks from paper
          </Link>
        </p>
      </Empty>
    </>
  );
}

function CountOfStop({ stop, round }: { readonly stop: Stop; readonly round: string }) {
  const { answer, again } = useAnswer(`/api/counts/${stop.id}/${round}`, countSchema);
  if (answer === 'loading') return <p className="waiting">Asking …</p>;
  if (answer.ok) return <CountBody count={answer.body} stop={stop} />;
  return answer.status === 404 ? (
    <NoCount stop={stop} round={round} />
  ) : (
    <RefusedNotice refused={answer} onAgain={again} />
  );
}

export function CountScreen() {
  const { stopId = '', round = '1' } = useParams();
  // Its zone is needed before any time is shown.
  const { answer, again } = useAnswer(`/api/stops/${stopId}`, stopSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(stop) => <CountOfStop key={`${stopId}/${round}`} stop={stop} round={round} />}
    </Answered>
  );
}
