// A wrap sheet that was ticked with a pencil, entered at the desk: a time once, then the ticks.
import './from-paper.css';
import { useRef, useState } from 'react';
import { Link, useParams } from 'react-router';
import { type Count, countSchema } from '#domain/count-shape.ts';
import { factsOfPaper, type PaperTicks } from '#domain/from-paper.ts';
import type { Movement } from '#domain/movement.ts';
import { type Stop, stopSchema } from '#domain/place.ts';
import type { Refused } from '../data/ask.ts';
import { useAnswer } from '../data/use-answer.ts';
import { stampAsOf, type ToldLines, voidOf, writeFacts, writeTold } from '../data/write.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { UndoBar } from '../look/undo-bar.tsx';
import { pathOfCount } from './count-words.tsx';
import { PaperLines } from './from-paper-lines.tsx';
import { OpenFromPaper } from './from-paper-open.tsx';
import { paperTimeOf } from './from-paper-time.ts';
import { Answered, RefusedNotice, useTitle } from './parts.tsx';
import { showTime } from './words.ts';

const NO_TICKS: PaperTicks = { lines: new Map(), compartments: new Map() };
const numberOf = ({ lines, compartments }: PaperTicks) => lines.size + compartments.size;

/** The lines that were sent last, and what was ticked then: sent again after a break they are the same lines. */
function useEntering(count: Count) {
  const prepared = useRef<{ readonly said: string; readonly told: ToldLines } | null>(null);
  return (ticks: PaperTicks, at: number) => {
    const said = JSON.stringify([at, [...ticks.lines], [...ticks.compartments]]);
    if (prepared.current?.said !== said)
      prepared.current = { said, told: stampAsOf(factsOfPaper(count, ticks, at), at) };
    return writeTold(prepared.current.told);
  };
}

function PaperForm({ count, stop }: { readonly count: Count; readonly stop: Stop }) {
  const [ticks, setTicks] = useState(NO_TICKS);
  const [when, setWhen] = useState('');
  const [error, setError] = useState<string | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [done, setDone] = useState<readonly Movement[] | null>(null);
  const [busy, setBusy] = useState(false);
  const enter = useEntering(count);
  const number = numberOf(ticks);
  const write = async () => {
    const at = paperTimeOf(when, stop.zone, count.openedAt);
    setError(typeof at === 'string' ? at : null);
    if (typeof at === 'string' || number === 0) return;
    setBusy(true);
    const written = await enter(ticks, at);
    setBusy(false);
    setRefused(written.ok ? null : written);
    if (!written.ok) return;
    setDone(written.body);
    setTicks(NO_TICKS);
  };
  const undo = async (lines: readonly Movement[]) => {
    const written = await writeFacts(lines.map(voidOf));
    setRefused(written.ok ? null : written);
    if (written.ok) setDone(null);
  };
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void write();
      }}
    >
      <div className="paper-when">
        <Field
          label="Ticked as of"
          type="datetime-local"
          required
          value={when}
          onChange={(event) => setWhen(event.target.value)}
          hint={`On the clock there (${stop.zone}); for the whole sheet, once.`}
          error={error ?? undefined}
        />
      </div>
      <PaperLines count={count} ticks={ticks} onTick={setTicks} />
      {refused === null ? null : <RefusedNotice refused={refused} />}
      {done === null ? null : (
        <UndoBar
          done={`${done.length} ${done.length === 1 ? 'line is' : 'lines are'} in the ledger, marked “on paper”.`}
          onUndo={() => void undo(done)}
        />
      )}
      <div className="paper-enter">
        <Button kind="main" type="submit" disabled={busy || number === 0}>
          {number === 0 ? 'Nothing is ticked yet' : `Enter ${number} ${number === 1 ? 'tick' : 'ticks'}`}
        </Button>
      </div>
    </form>
  );
}

function PaperBody({ count, stop }: { readonly count: Count; readonly stop: Stop }) {
  return (
    <>
      <p className="facts-line">
        {count.vehicleName}, opened {showTime(count.openedAt, stop.zone)}.{' '}
        <Link to={pathOfCount(count)}>The count</Link>
      </p>
      {count.closed === null ? null : (
        <Notice kind="news">
          <p>
            This count is closed. What you enter stands beside what was closed, as known now, and never in it.
          </p>
        </Notice>
      )}
      <PaperForm count={count} stop={stop} />
    </>
  );
}

function PaperScreen({ stop, round }: { readonly stop: Stop; readonly round: number }) {
  useTitle(`From paper ${stop.name}`);
  const { answer, again } = useAnswer(`/api/counts/${stop.id}/${round}`, countSchema);
  const isUnopened = answer !== 'loading' && !answer.ok && answer.status === 404;
  return (
    <>
      <Tape level={1}>{stop.name}: ticks from paper</Tape>
      {isUnopened ? (
        <OpenFromPaper stop={stop} round={round} onOpened={again} />
      ) : (
        <Answered answer={answer} onAgain={again}>
          {(count) => <PaperBody count={count} stop={stop} />}
        </Answered>
      )}
    </>
  );
}

export function FromPaperScreen() {
  const { stopId = '', round = '1' } = useParams();
  const { answer, again } = useAnswer(`/api/stops/${stopId}`, stopSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(stop) => <PaperScreen key={`${stopId}/${round}`} stop={stop} round={Number(round)} />}
    </Answered>
  );
}
