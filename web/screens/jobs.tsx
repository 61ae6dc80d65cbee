// All jobs: what runs now, what comes, what is done.
import './jobs.css';
import { useState } from 'react';
import { Link, useNavigate } from 'react-router';
import { daysOfStops, workingDateOf } from '#domain/job-days.ts';
import type { Job } from '#domain/place.ts';
import { useOutByStop } from '../data/counts.ts';
import { useClients, useJobs } from '../data/jobs.ts';
import { useStops } from '../data/names.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { JobForm } from './job-form.tsx';
import { Answered, bodyOf, useOutfit, useTitle, WideTable } from './parts.tsx';
import { showDates } from './when.ts';

/** A job with what the list says of it: its days, from its stops where nobody wrote them down. */
interface JobRow {
  readonly job: Job;
  readonly from: string | null;
  readonly until: string | null;
  readonly stops: number;
  readonly out: number;
}

function JobTable({
  title,
  rows,
  clients,
}: {
  readonly title: string;
  readonly rows: readonly JobRow[];
  readonly clients: ReadonlyMap<string, string>;
}) {
  if (rows.length === 0) return null;
  return (
    <section>
      <Tape level={2} figure={rows.length}>
        {title}
      </Tape>
      <WideTable name={title}>
        <table className="job-table">
          <thead>
            <tr>
              <th scope="col">Job</th>
              <th scope="col">Client</th>
              <th scope="col">When</th>
              <th scope="col" className="number">
                Stops
              </th>
              <th scope="col" className="number">
                Still out
              </th>
              <th scope="col">Note</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ job, from, until, stops, out }) => (
              <tr key={job.id}>
                <th scope="row">
                  <Link to={`/jobs/${job.id}`}>{job.name}</Link>
                </th>
                <td>{job.partyId === null ? '' : clients.get(job.partyId)}</td>
                <td>{showDates(from, until)}</td>
                <td className="number">{stops}</td>
                <td className={out > 0 ? 'number tone-bad strong' : 'number'}>{out}</td>
                <td className="job-note">{job.note}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  );
}

function useJobRows(jobs: readonly Job[]): readonly JobRow[] {
  const outfit = useOutfit();
  const stops = [...useStops().values()];
  const out = useOutByStop();
  return jobs.map((job) => {
    const own = stops.filter(({ jobId }) => jobId === job.id);
    const days = daysOfStops(own, outfit);
    return {
      job,
      from: job.startsOn ?? days[0]?.date ?? null,
      until: job.endsOn ?? days.at(-1)?.date ?? null,
      stops: own.length,
      out: own.reduce((sum, { id }) => sum + (out.get(id)?.length ?? 0), 0),
    };
  });
}

/** Running, coming, past; a job without days is one that comes. By calendar date, today included. */
function partsOf(rows: readonly JobRow[], today: string) {
  const isPast = (row: JobRow) => (row.until ?? row.from ?? '9999') < today;
  const isComing = (row: JobRow) => !isPast(row) && (row.from === null || row.from > today);
  const latestFirst = [...rows].sort((a, b) => ((b.from ?? '9999') < (a.from ?? '9999') ? -1 : 1));
  return {
    running: latestFirst.filter((row) => !isPast(row) && !isComing(row)),
    coming: latestFirst.filter(isComing).reverse(),
    past: latestFirst.filter(isPast),
  };
}

function JobLists({ jobs }: { readonly jobs: readonly Job[] }) {
  const outfit = useOutfit();
  const clients = new Map((bodyOf(useClients().answer) ?? []).map(({ id, name }) => [id, name]));
  const { running, coming, past } = partsOf(useJobRows(jobs), workingDateOf(Date.now(), outfit.zone, outfit));
  if (jobs.length === 0) {
    return (
      <Empty title="No job yet.">
        <p>
          A job holds its stops and their counts together. A stop made on the phone can be put to a job later.
        </p>
      </Empty>
    );
  }
  return (
    <>
      <JobTable title="Running" rows={running} clients={clients} />
      <JobTable title="Coming" rows={coming} clients={clients} />
      <JobTable title="Past" rows={past} clients={clients} />
    </>
  );
}

export function JobsScreen() {
  useTitle('Jobs');
  const navigate = useNavigate();
  const { answer, again } = useJobs();
  const [isMaking, setMaking] = useState(false);
  return (
    <>
      <Tape level={1}>Jobs</Tape>
      {isMaking ? (
        <JobForm job={null} onDone={(job) => navigate(`/jobs/${job.id}`)} onLeave={() => setMaking(false)} />
      ) : (
        <p className="not-on-paper">
          <Button onClick={() => setMaking(true)}>New job</Button>
        </p>
      )}
      <Answered answer={answer} onAgain={again}>
        {(jobs) => <JobLists jobs={jobs} />}
      </Answered>
    </>
  );
}
