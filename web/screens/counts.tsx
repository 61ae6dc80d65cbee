// All counts, the ones that were walked away from first.
import { Link } from 'react-router';
import { type CountEntry, useCounts } from '../data/counts.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, useTitle, WideTable } from './parts.tsx';
import { showTime } from './words.ts';

function CountRow({ count }: { readonly count: CountEntry }) {
  const { sums } = count;
  return (
    <tr>
      <th scope="row">
        <Link to={`/counts/${count.stopId}/${count.round}`}>{count.stopName}</Link>
        {count.round > 1 ? <span className="small"> round {count.round}</span> : null}
      </th>
      <td>{count.jobName ?? ''}</td>
      <td>{count.vehicleName}</td>
      <td className="number">{showTime(count.openedAt, count.zone)}</td>
      {count.closedAt === null || sums === null ? null : (
        <>
          <td className="number">{showTime(count.closedAt, count.zone)}</td>
          <td className="number">
            {sums.aboard} of {sums.expected}
          </td>
          <td className="number">{sums.away}</td>
          <td className={sums.notFound > 0 ? 'number tone-bad strong' : 'number'}>{sums.notFound}</td>
        </>
      )}
    </tr>
  );
}

function ClosedHeads() {
  return ['Closed', 'Aboard', 'Away on purpose', 'Not found yet'].map((head) => (
    <th key={head} scope="col" className="number">
      {head}
    </th>
  ));
}

function CountTable({ counts, name }: { readonly counts: readonly CountEntry[]; readonly name: string }) {
  const isClosed = counts.every(({ closedAt }) => closedAt !== null);
  return (
    <WideTable name={name}>
      <table className={isClosed ? undefined : 'figures'}>
        <caption className="unseen">{name}</caption>
        <thead>
          <tr>
            <th scope="col">Stop</th>
            <th scope="col">Job</th>
            <th scope="col">Vehicle</th>
            <th scope="col" className="number">
              Opened
            </th>
            {isClosed ? <ClosedHeads /> : null}
          </tr>
        </thead>
        <tbody>
          {counts.map((count) => (
            <CountRow key={`${count.stopId}/${count.round}`} count={count} />
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}

function CountLists({ counts }: { readonly counts: readonly CountEntry[] }) {
  const unfinished = counts.filter(({ closedAt }) => closedAt === null);
  const closed = counts.filter(({ closedAt }) => closedAt !== null);
  if (counts.length === 0) {
    return (
      <Empty title="No count yet.">
        <p>
          On the <a href="/scan/">phone page</a>, choose a stop and tap “back aboard”: the count opens by
          itself.
        </p>
      </Empty>
    );
  }
  return (
    <>
      {unfinished.length > 0 ? (
        <section>
          <Tape level={2}>Not closed yet</Tape>
          <CountTable counts={unfinished} name="Not closed yet" />
        </section>
      ) : null}
      {closed.length > 0 ? (
        <section>
          <Tape level={2}>Closed</Tape>
          <CountTable counts={closed} name="Closed" />
        </section>
      ) : null}
    </>
  );
}

export function CountsScreen() {
  useTitle('Counts');
  const { answer, again } = useCounts();
  return (
    <>
      <Tape level={1}>Counts</Tape>
      <Answered answer={answer} onAgain={again}>
        {(counts) => <CountLists counts={counts} />}
      </Answered>
    </>
  );
}
