// All counts of a job on paper: how each was closed, and every line that was not aboard then or is not now.
import './count.css';
import { Link, useParams } from 'react-router';
import { type Count, type CountLine, countSchema } from '#domain/count-shape.ts';
import { workingDateOf } from '#domain/job-days.ts';
import type { Job } from '#domain/place.ts';
import { type CountEntry, useCounts } from '../data/counts.ts';
import { useJob } from '../data/jobs.ts';
import { usePeople } from '../data/names.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { keyOfLine } from './count-lines.tsx';
import { whoFinder } from './count-who.ts';
import { pathOfCount } from './count-words.tsx';
import { usePaperHead } from './paper-head.ts';
import { Answered, useOutfit, useTitle, WideTable } from './parts.tsx';
import { showDates } from './when.ts';
import { showDate, showTime, wordOfLine, wordOfSaid } from './words.ts';

const WAS_ABOARD: ReadonlySet<string> = new Set([
  'scanned',
  'seen',
  'on-paper',
  'by-number',
  'by-sight',
  'with-container',
  'not-opened',
]);

function linesToTell(count: Count): readonly CountLine[] {
  const closed = new Map((count.closed?.lines ?? []).map((line) => [keyOfLine(line), line]));
  return count.lines.filter((line) => {
    const said = closed.get(keyOfLine(line))?.said;
    return line.state !== 'aboard' || (said !== undefined && !WAS_ABOARD.has(said));
  });
}

function LinesToTell({ count, zone }: { readonly count: Count; readonly zone: string }) {
  const whoOf = whoFinder(count, usePeople());
  const closed = new Map((count.closed?.lines ?? []).map((line) => [keyOfLine(line), line]));
  const lines = linesToTell(count);
  if (lines.length === 0) return <p>Everything that was asked for is aboard.</p>;
  return (
    <WideTable name={`Not aboard, ${count.stopName}`}>
      <table>
        <thead>
          <tr>
            <th scope="col">Thing</th>
            <th scope="col" className="number">
              Number
            </th>
            {count.closed === null ? null : <th scope="col">As closed</th>}
            <th scope="col">As known now</th>
            <th scope="col">Who</th>
            <th scope="col" className="number">
              When
            </th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => {
            const said = closed.get(keyOfLine(line))?.said;
            return (
              <tr key={keyOfLine(line)}>
                <th scope="row">
                  <Link to={`/things/${line.thingId}`}>{line.name}</Link>
                </th>
                <td className="number">
                  {line.kind === 'item' ? '' : `${line.found ?? '–'} of ${line.expected}`}
                </td>
                {count.closed === null ? null : <td>{said ? wordOfSaid(said) : 'not on the list'}</td>}
                <td className={line.state === 'aboard' ? '' : 'strong'}>{wordOfLine(line)}</td>
                <td>{whoOf(line.said)}</td>
                <td className="number">{line.said ? showTime(line.said.at, zone) : ''}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </WideTable>
  );
}

function OneCount({ entry }: { readonly entry: CountEntry }) {
  const { answer, again } = useAnswer(`/api${pathOfCount(entry)}`, countSchema);
  const { stopName, round, vehicleName, openedAt, closedAt, sums, zone } = entry;
  const facts = [
    vehicleName,
    `opened ${showTime(openedAt, zone)}`,
    closedAt === null ? 'not closed yet' : `closed ${showTime(closedAt, zone)}`,
    sums === null ? '' : `${sums.aboard} of ${sums.expected} aboard, ${sums.notFound} not found yet`,
    sums === null || sums.notOpened === 0 ? '' : `${sums.notOpened} compartments not opened`,
  ].filter(Boolean);
  return (
    <section className="job-count">
      <Tape level={2}>
        {stopName}
        {round > 1 ? `, round ${round}` : ''}
      </Tape>
      <p className="facts-line">
        {facts.join(' · ')}
        <span className="not-on-paper">
          {' '}
          · <Link to={pathOfCount(entry)}>all its lines</Link>
        </span>
      </p>
      <Answered answer={answer} onAgain={again}>
        {(count) => <LinesToTell count={count} zone={zone} />}
      </Answered>
    </section>
  );
}

function CountsOfJob({ job }: { readonly job: Job }) {
  const outfit = useOutfit();
  useTitle(`Counts of ${job.name}`);
  const { answer, again } = useCounts(`?job=${job.id}`);
  const today = showDate(workingDateOf(Date.now(), outfit.zone, outfit));
  usePaperHead(outfit.name, `${job.name} · as known ${today}`);
  return (
    <>
      <Tape level={1}>Counts of {job.name}</Tape>
      <p className="facts-line">{showDates(job.startsOn, job.endsOn)}</p>
      <div className="count-ways not-on-paper">
        <Button onClick={() => window.print()}>Print</Button>
        <Link className="button" to={`/jobs/${job.id}`}>
          The job
        </Link>
      </div>
      <Answered answer={answer} onAgain={again}>
        {(counts) =>
          counts.length === 0 ? (
            <Empty title="No count of this job yet.">
              <p>A count is opened at one of its stops: on the phone page, or from paper.</p>
            </Empty>
          ) : (
            [...counts]
              .sort((a, b) => a.openedAt - b.openedAt)
              .map((entry) => <OneCount key={pathOfCount(entry)} entry={entry} />)
          )
        }
      </Answered>
    </>
  );
}

export function JobCountsScreen() {
  const { jobId = '' } = useParams();
  const { answer, again } = useJob(jobId);
  return (
    <Answered answer={answer} onAgain={again}>
      {(job) => <CountsOfJob job={job} />}
    </Answered>
  );
}
