// Everything that is still out there, across all stops, the most urgent first.
import { Link } from 'react-router';
import type { OutLine } from '#domain/out-line.ts';
import { usePeople, useStops } from '../data/names.ts';
import { type Places, usePlaces } from '../data/places.ts';
import { useStillOut } from '../data/still-out.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, bodyOf, PlaceChain, useOutfit, useTitle, WideTable } from './parts.tsx';
import { showDays, showTime, WORD_OF_URGENCY, WORD_OF_WHOSE, wordOfSaid } from './words.ts';

const MISSING: ReadonlySet<string> = new Set(['not-found', 'did-not-come']);

function StillOutRow({ line, places }: { readonly line: OutLine; readonly places: Places | null }) {
  const { zone } = useOutfit();
  const people = usePeople();
  const stop = useStops().get(line.stopId ?? '');
  const person = people.get(line.personId ?? '')?.name;
  const marks = [
    line.urgency === 'by-value' ? '' : WORD_OF_URGENCY[line.urgency],
    line.whose === 'ours' ? '' : WORD_OF_WHOSE[line.whose],
  ].filter(Boolean);
  return (
    <tr>
      <th scope="row">
        <Link to={`/things/${line.thingId}`}>{line.name}</Link>
        {marks.length > 0 ? <span className="small"> {marks.join(' · ')}</span> : null}
      </th>
      <td className="number">{line.kind === 'item' ? '' : line.number}</td>
      <td>
        <span className={MISSING.has(line.why) ? 'word tone-bad strong' : 'word'}>
          {line.why === 'overdue' ? 'overdue' : wordOfSaid(line.why)}
        </span>
        {line.note ? <span className="small"> {line.note}</span> : null}
      </td>
      <td>
        {line.spot ? <strong>{line.spot}, </strong> : null}
        {line.placeId ? <PlaceChain placeId={line.placeId} places={places} /> : 'not known'}
        {person ? <span className="small"> by {person}</span> : null}
      </td>
      <td className="number">{line.since === null ? '' : showTime(line.since, stop?.zone ?? zone)}</td>
      <td className="number">{showDays(line.days)}</td>
    </tr>
  );
}

function StillOutTable({
  title,
  lines,
  places,
}: {
  readonly title: string;
  readonly lines: readonly OutLine[];
  readonly places: Places | null;
}) {
  if (lines.length === 0) return null;
  return (
    <section>
      <Tape level={2} figure={lines.length}>
        {title}
      </Tape>
      <WideTable name={title}>
        <table>
          <thead>
            <tr>
              <th scope="col">Thing</th>
              <th scope="col" className="number">
                Number
              </th>
              <th scope="col">Why</th>
              <th scope="col">Last put down</th>
              <th scope="col" className="number">
                Since
              </th>
              <th scope="col" className="number">
                For
              </th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <StillOutRow
                key={`${line.thingId}/${line.lineId}/${line.placeId}`}
                line={line}
                places={places}
              />
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  );
}

export function StillOutScreen() {
  useTitle('Still out there');
  const { answer, again } = useStillOut();
  const places = bodyOf(usePlaces().answer);
  return (
    <>
      <Tape level={1}>Still out there</Tape>
      <Answered answer={answer} onAgain={again}>
        {({ lines }) =>
          lines.length === 0 ? (
            <Empty title="Nothing is out there.">
              <p>What is not found at a wrap, left, lent or handed over shows up here until it is back.</p>
            </Empty>
          ) : (
            <>
              <StillOutTable
                title="Not found yet"
                lines={lines.filter(({ why }) => MISSING.has(why))}
                places={places}
              />
              <StillOutTable
                title="Left, lent or with somebody"
                lines={lines.filter(({ why }) => !MISSING.has(why))}
                places={places}
              />
            </>
          )
        }
      </Answered>
    </>
  );
}
