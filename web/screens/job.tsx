// One job: its days on a time line, each stop with its counts and what is still out from it, the nights between.
import './jobs.css';
import './job.css';
import { Link, useNavigate, useParams, useSearchParams } from 'react-router';
import { daysOfStops, type JobDay } from '#domain/job-days.ts';
import type { Job, Stop } from '#domain/place.ts';
import { type CountEntry, type OutAtStop, useCounts, useOutByStop } from '../data/counts.ts';
import { useClients, useJob } from '../data/jobs.ts';
import { useStopsOf } from '../data/stops.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { CountWords } from './count-words.tsx';
import { JobForm } from './job-form.tsx';
import { Answered, bodyOf, useOutfit, useTitle } from './parts.tsx';
import { StopForm } from './stop-form.tsx';
import { showClock, showDates, showDay } from './when.ts';

interface StopContext {
  readonly counts: readonly CountEntry[];
  readonly out: ReadonlyMap<string, readonly OutAtStop[]>;
}

function OutWords({ out }: { readonly out: readonly OutAtStop[] }) {
  if (out.length === 0) return null;
  const names = out
    .slice(0, 3)
    .map(({ name, kind, number }) => (kind === 'item' ? name : `${number} × ${name}`));
  const more = out.length > names.length ? ` and ${out.length - names.length} more` : '';
  return (
    <p className="stop-out">
      <Link to="/still-out">Still out from here</Link>: {names.join(', ')}
      {more}
    </p>
  );
}

function StopEntry({ stop, counts, out }: { readonly stop: Stop } & StopContext) {
  const own = counts.filter(({ stopId }) => stopId === stop.id).sort((a, b) => a.round - b.round);
  const isHotel = stop.kind === 'hotel';
  return (
    <li className={isHotel ? 'stop-entry stop-night' : 'stop-entry'}>
      <p className="stop-time">
        {showClock(stop.startsAt, stop.zone)}
        {stop.endsAt === null ? '' : ` – ${showClock(stop.endsAt, stop.zone)}`}
      </p>
      <div>
        <p className="stop-name">
          <Link to={`/stops/${stop.id}`}>{stop.name}</Link>{' '}
          {isHotel ? <span className="small">the night in a hotel</span> : null}
          {stop.unnamed ? <span className="mark">waits for its name</span> : null}
        </p>
        {own.map((count) => (
          <CountWords key={count.round} count={count} />
        ))}
        {own.length === 0 && !isHotel ? <p className="small">No count.</p> : null}
        <OutWords out={out.get(stop.id) ?? []} />
      </div>
    </li>
  );
}

function Day({ day, ...context }: { readonly day: JobDay } & StopContext) {
  const zones = [...new Set(day.stops.map(({ zone }) => zone))];
  return (
    <section className="job-day" aria-label={showDay(day.date)}>
      <h2>
        {showDay(day.date)} <span className="small">{zones.join(', ')}</span>
      </h2>
      <ol className="stop-line">
        {day.stops.map((stop) => (
          <StopEntry key={stop.id} stop={stop} {...context} />
        ))}
      </ol>
    </section>
  );
}

function TimeLine({ job, stops }: { readonly job: Job; readonly stops: readonly Stop[] }) {
  const outfit = useOutfit();
  const counts = bodyOf(useCounts(`?job=${job.id}`).answer) ?? [];
  const out = useOutByStop();
  if (stops.length === 0) {
    return (
      <Empty title="No stop yet.">
        <p>Plan one here, or let the crew make it on the phone page in one tap and name it later.</p>
      </Empty>
    );
  }
  return daysOfStops(stops, outfit).map((day) => <Day key={day.date} day={day} counts={counts} out={out} />);
}

function JobHead({ job }: { readonly job: Job }) {
  const clients = bodyOf(useClients().answer) ?? [];
  const facts = [
    clients.find(({ id }) => id === job.partyId)?.name ?? 'no client yet',
    showDates(job.startsOn, job.endsOn),
  ].filter(Boolean);
  return (
    <>
      <p className="facts-line">{facts.join(' · ')}</p>
      {job.note === null ? null : <p className="measure">{job.note}</p>}
    </>
  );
}

type Doing = 'edit' | 'new-stop' | null;

function JobBody({ job }: { readonly job: Job }) {
  useTitle(job.name);
  const navigate = useNavigate();
  const [query, setQuery] = useSearchParams();
  const { answer, again } = useStopsOf(job.id);
  const asked = query.get('do');
  const doing: Doing = asked === 'edit' || asked === 'new-stop' ? asked : null;
  const leave = () => setQuery({}, { replace: true });
  return (
    <>
      <Tape level={1}>{job.name}</Tape>
      {doing === 'edit' ? <JobForm job={job} onDone={leave} onLeave={leave} /> : <JobHead job={job} />}
      {doing === 'new-stop' ? (
        <StopForm stop={null} job={job} onDone={(stop) => navigate(`/stops/${stop.id}`)} onLeave={leave} />
      ) : null}
      {doing === null ? (
        <div className="form-ways job-ways not-on-paper">
          <Button onClick={() => setQuery({ do: 'new-stop' })}>New stop</Button>
          <Button onClick={() => setQuery({ do: 'edit' })}>Edit the job</Button>
          <Link className="button" to={`/jobs/${job.id}/counts`}>
            All counts, to print
          </Link>
        </div>
      ) : null}
      <Answered answer={answer} onAgain={again}>
        {(stops) => <TimeLine job={job} stops={stops} />}
      </Answered>
    </>
  );
}

export function JobScreen() {
  const { jobId = '' } = useParams();
  const { answer, again } = useJob(jobId);
  return (
    <Answered answer={answer} onAgain={again}>
      {(job) => <JobBody job={job} />}
    </Answered>
  );
}
