// One stop: where and when, its counts, what is still out from it, and what to do where there is no count.
import './jobs.css';
import './job.css';
import type { ReactNode } from 'react';
import { Link, useParams, useSearchParams } from 'react-router';
import type { Stop } from '#domain/place.ts';
import { type CountEntry, useCounts, useOutByStop } from '../data/counts.ts';
import { usePlaces } from '../data/places.ts';
import { useStop } from '../data/stops.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { CountWords } from './count-words.tsx';
import { Answered, bodyOf, PlaceChain, useTitle } from './parts.tsx';
import { StopForm } from './stop-form.tsx';
import { showTime, wordOfSaid } from './words.ts';

function Fact({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function StopFactsList({ stop }: { readonly stop: Stop }) {
  const places = bodyOf(usePlaces().answer);
  return (
    <dl className="facts stop-facts">
      <Fact name="Job">
        {stop.jobId === null ? 'none' : <Link to={`/jobs/${stop.jobId}`}>{stop.jobName}</Link>}
      </Fact>
      <Fact name="What it is">{stop.kind}</Fact>
      <Fact name="Place">
        <PlaceChain placeId={stop.placeId} places={places} />
      </Fact>
      <Fact name="Begins">{showTime(stop.startsAt, stop.zone)}</Fact>
      <Fact name="Ends">{stop.endsAt === null ? 'not said' : showTime(stop.endsAt, stop.zone)}</Fact>
      <Fact name="Zone">{stop.zone}</Fact>
    </dl>
  );
}

function Counts({ stop, counts }: { readonly stop: Stop; readonly counts: readonly CountEntry[] }) {
  const rounds = [...counts].sort((a, b) => a.round - b.round);
  const round = rounds.at(-1)?.round ?? 1;
  return (
    <section>
      <Tape level={2}>Counts</Tape>
      {rounds.length === 0 ? (
        <Empty title="No count here yet.">
          <p>
            On the <a href="/scan/">phone page</a>, open this stop and tap “back aboard”. Without a phone:
            print the wrap sheet, tick it at the vehicle, and enter the ticks here later.
          </p>
        </Empty>
      ) : (
        rounds.map((count) => <CountWords key={count.round} count={count} />)
      )}
      <div className="form-ways not-on-paper">
        <Link className="button" to={`/counts/${stop.id}/${round}/sheet`}>
          Wrap sheet
        </Link>
        <Link className="button" to={`/counts/${stop.id}/${round}/from-paper`}>
          Enter ticks from paper
        </Link>
      </div>
    </section>
  );
}

function StillOutHere({ stop }: { readonly stop: Stop }) {
  const out = useOutByStop().get(stop.id) ?? [];
  if (out.length === 0) return null;
  return (
    <section>
      <Tape level={2} figure={out.length}>
        Still out from here
      </Tape>
      <ul className="lines" aria-label="Still out from here">
        {out.map((line) => (
          <li key={`${line.thingId}/${line.why}/${line.spot}`} className="line">
            <span>
              <Link className="line-name" to={`/things/${line.thingId}`}>
                {line.kind === 'item' ? line.name : `${line.number} × ${line.name}`}
              </Link>
              {line.spot ? <span className="line-facts">{line.spot}</span> : null}
            </span>
            <span className="line-state tone-bad">{saidOf(line.why)}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

const WHYS = [
  'not-found',
  'did-not-come',
  'left-on-purpose',
  'with-somebody',
  'lend',
  'hand-over',
  'rent-out',
] as const;
const saidOf = (why: string): string => {
  const known = WHYS.find((one) => one === why);
  return known === undefined ? why : wordOfSaid(known);
};

function StopBody({ stop }: { readonly stop: Stop }) {
  useTitle(stop.name);
  const [query, setQuery] = useSearchParams();
  const { answer, again } = useCounts(`?stop=${stop.id}`);
  const isEditing = query.get('do') === 'edit';
  const leave = () => setQuery({}, { replace: true });
  return (
    <>
      <Tape level={1}>{stop.name}</Tape>
      {isEditing ? (
        <StopForm stop={stop} job={null} onDone={leave} onLeave={leave} />
      ) : (
        <>
          <StopFactsList stop={stop} />
          <p className="not-on-paper">
            <Button onClick={() => setQuery({ do: 'edit' })}>Edit the stop</Button>
          </p>
        </>
      )}
      <Answered answer={answer} onAgain={again}>
        {(counts) => <Counts stop={stop} counts={counts} />}
      </Answered>
      <StillOutHere stop={stop} />
    </>
  );
}

export function StopScreen() {
  const { stopId = '' } = useParams();
  const { answer, again } = useStop(stopId);
  return (
    <Answered answer={answer} onAgain={again}>
      {(stop) => <StopBody stop={stop} />}
    </Answered>
  );
}
