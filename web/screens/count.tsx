// One count: as it was closed beside as known now, its open lines first, every line with what was said and when.
import { useParams } from 'react-router';
import { type CompartmentAnswer, type Count, countSchema } from '#domain/count-shape.ts';
import type { ClosedSums } from '#domain/movement.ts';
import { type Stop, stopSchema } from '#domain/place.ts';
import { usePlaces } from '../data/places.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { CountAside } from './count-aside.tsx';
import { keyOfLine, type LinesContext, LinesTable } from './count-lines.tsx';
import { Answered, bodyOf, useTitle } from './parts.tsx';
import { showTime, WORD_OF_CHECK } from './words.ts';

const SUMS: readonly (readonly [keyof ClosedSums, string])[] = [
  ['expected', 'Expected'],
  ['aboard', 'Aboard'],
  ['notFound', 'Not found yet'],
  ['away', 'Left, lent or handed over'],
  ['compartments', 'Compartments'],
  ['notOpened', 'Compartments not opened'],
];

function SumsTable({ count }: { readonly count: Count }) {
  const { closed } = count;
  return (
    <table className="figures">
      <caption className="unseen">Sums</caption>
      <thead>
        <tr>
          <th scope="col">Sum</th>
          {closed ? (
            <th scope="col" className="number">
              As closed
            </th>
          ) : null}
          <th scope="col" className="number">
            As known now
          </th>
        </tr>
      </thead>
      <tbody>
        {SUMS.map(([key, name]) => (
          <tr key={key}>
            <th scope="row">{name}</th>
            {closed ? <td className="number">{closed.sums[key]}</td> : null}
            <td className={closed && closed.sums[key] !== count.sums[key] ? 'number strong' : 'number'}>
              {count.sums[key]}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function CompartmentTable({ compartments }: { readonly compartments: readonly CompartmentAnswer[] }) {
  if (compartments.length === 0) return null;
  return (
    <section>
      <Tape level={2}>Compartments</Tape>
      <table className="figures">
        <thead>
          <tr>
            <th scope="col">Compartment</th>
            <th scope="col">Answer</th>
            <th scope="col" className="number">
              Lines
            </th>
            <th scope="col" className="number">
              Open
            </th>
          </tr>
        </thead>
        <tbody>
          {compartments.map((compartment) => (
            <tr key={compartment.placeId}>
              <th scope="row">{compartment.name}</th>
              <td>
                {compartment.answer === null ? (
                  <span className="tone-ask strong">waits for an answer</span>
                ) : (
                  WORD_OF_CHECK[compartment.answer]
                )}
              </td>
              <td className="number">{compartment.lines}</td>
              <td className="number">{compartment.open}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function CountWords({ count, zone }: { readonly count: Count; readonly zone: string }) {
  const opened = `${count.vehicleName}, opened ${showTime(count.openedAt, zone)}`;
  if (count.closed === null) {
    return (
      <>
        <p className="facts-line">{opened}.</p>
        <Notice kind="news">
          <p>
            Not closed yet. The <a href="/scan/">phone page</a> offers it first.
          </p>
        </Notice>
      </>
    );
  }
  const verdict = count.allAboard ? 'All aboard.' : '';
  return (
    <p className="facts-line">
      {opened}, closed {showTime(count.closed.at, zone)}. {verdict} What was closed is kept for good; what
      came later stands beside it.
    </p>
  );
}

function CountBody({ count, stop }: { readonly count: Count; readonly stop: Stop }) {
  useTitle(count.stopName);
  const { zone } = stop;
  const places = bodyOf(usePlaces().answer);
  const closed = new Map((count.closed?.lines ?? []).map((line) => [keyOfLine(line), line]));
  const context: LinesContext = {
    zone,
    places,
    closed,
    isClosed: count.closed !== null,
    vehicleId: count.vehicleId,
  };
  const inState = (...states: readonly string[]) => count.lines.filter((line) => states.includes(line.state));
  return (
    <>
      <Tape level={1}>{count.stopName}</Tape>
      <CountWords count={count} zone={zone} />
      <SumsTable count={count} />
      <LinesTable title="Still open" lines={inState('open', 'short')} context={context} />
      <LinesTable title="Not here" lines={inState('absent')} context={context} />
      <LinesTable title="Away on purpose" lines={inState('away')} context={context} />
      <CompartmentTable compartments={count.compartments} />
      <CountAside count={count} zone={zone} places={places} />
      <LinesTable title="Aboard" lines={inState('aboard')} context={context} />
    </>
  );
}

export function CountScreen() {
  const { stopId, round } = useParams();
  const { answer, again } = useAnswer(`/api/counts/${stopId}/${round}`, countSchema);
  // Its zone is needed before any time is shown.
  const stop = useAnswer(`/api/stops/${stopId}`, stopSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(count) => (
        <Answered answer={stop.answer} onAgain={stop.again}>
          {(known) => <CountBody count={count} stop={known} />}
        </Answered>
      )}
    </Answered>
  );
}
