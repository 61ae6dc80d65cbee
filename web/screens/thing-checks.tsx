// How a thing was answered for at the last wraps, each with a link to its count.
import { Link } from 'react-router';
import type { Thing } from '#domain/thing.ts';
import type { WrapCheck } from '#domain/thing-checks.ts';
import { usePeople } from '../data/names.ts';
import type { Places } from '../data/places.ts';
import { useChecks } from '../data/thing-records.ts';
import { Tape } from '../look/tape.tsx';
import { Answered, WideTable } from './parts.tsx';
import { showTime, wordOfSaid } from './words.ts';

const MISSING = new Set(['open', 'not-found']);
const MISSING_TONE = 'word tone-bad strong';

function CheckRow({
  check,
  isItem,
  who,
  place,
}: {
  readonly check: WrapCheck;
  readonly isItem: boolean;
  readonly who: string | undefined;
  readonly place: string | undefined;
}) {
  return (
    <tr>
      <th scope="row">
        <Link to={`/counts/${check.stopId}/${check.round}`}>{check.stopName}</Link>
        {check.round > 1 ? <span className="small"> round {check.round}</span> : null}
      </th>
      <td>
        <span className={MISSING.has(check.said) ? MISSING_TONE : 'word'}>{wordOfSaid(check.said)}</span>
        {isItem ? null : (
          <span className="small">
            {' '}
            {check.found} of {check.expected}
            {place ? `, ${place}` : ''}
          </span>
        )}
      </td>
      <td>{who ?? ''}</td>
      <td className="number">{showTime(check.closedAt, check.zone)}</td>
    </tr>
  );
}

export function ThingChecks({ thing, places }: { readonly thing: Thing; readonly places: Places | null }) {
  const { answer, again } = useChecks(thing.id);
  const people = usePeople();
  return (
    <section aria-labelledby="checks">
      <Tape level={2} id="checks">
        At the last wraps
      </Tape>
      <Answered answer={answer} onAgain={again}>
        {({ checks }) =>
          checks.length === 0 ? (
            <p>No count that was closed has asked for it yet.</p>
          ) : (
            <WideTable name="Answers, stop by stop">
              <table className="thing-rows thing-checks-table">
                <thead>
                  <tr>
                    <th scope="col">Stop</th>
                    <th scope="col">Answer, as closed</th>
                    <th scope="col">Who</th>
                    <th scope="col" className="number">
                      Closed
                    </th>
                  </tr>
                </thead>
                <tbody>
                  {checks.map((check) => (
                    <CheckRow
                      key={`${check.stopId}/${check.round}/${check.placeId}`}
                      check={check}
                      isItem={thing.kind === 'item'}
                      who={people.get(check.personId ?? '')?.name}
                      place={places?.byId.get(check.placeId ?? '')?.name}
                    />
                  ))}
                </tbody>
              </table>
            </WideTable>
          )
        }
      </Answered>
    </section>
  );
}
