// The lines of one count: as known now, and how each was closed.
import { Link } from 'react-router';
import type { CountLine, LineSaid } from '#domain/count-shape.ts';
import type { ClosedLine } from '#domain/movement.ts';
import type { Places } from '../data/places.ts';
import { Tape } from '../look/tape.tsx';
import { PlaceChain, WideTable } from './parts.tsx';
import { showTime, wordOfLine, wordOfSaid } from './words.ts';

export interface LinesContext {
  readonly zone: string;
  readonly places: Places | null;
  /** By thing and place: how a line stood when the count was closed; empty while it is open. */
  readonly closed: ReadonlyMap<string, ClosedLine>;
  readonly isClosed: boolean;
  readonly vehicleId: string;
  /** Who said it, in a word or two. */
  readonly whoOf: (said: LineSaid | null) => string;
}

export const keyOfLine = ({
  thingId,
  placeId,
}: {
  readonly thingId: string;
  readonly placeId: string | null;
}) => `${thingId}/${placeId ?? ''}`;

const TONE_OF_STATE = {
  open: 'tone-ask strong',
  short: 'tone-bad strong',
  absent: 'tone-bad strong',
  away: '',
  aboard: 'tone-good',
} as const satisfies Record<CountLine['state'], string>;

function LastSpot({ line, context }: { readonly line: CountLine; readonly context: LinesContext }) {
  if (line.last === null)
    return (
      <PlaceChain
        placeId={line.placeId ?? line.compartmentId}
        places={context.places}
        within={context.vehicleId}
      />
    );
  return (
    <>
      {line.last.spot ? <strong>{line.last.spot}, </strong> : null}
      <PlaceChain placeId={line.last.placeId} places={context.places} within={context.vehicleId} />
    </>
  );
}

interface RowProps {
  readonly line: CountLine;
  readonly context: LinesContext;
  /** Whether anybody has said anything of the lines of this table. */
  readonly isSaid: boolean;
}

function LineRow({ line, context, isSaid }: RowProps) {
  const asClosed = context.closed.get(keyOfLine(line));
  return (
    <tr>
      <th scope="row">
        <Link to={`/things/${line.thingId}`}>{line.name}</Link>
        {line.faulty === null ? null : <span className="small"> faulty: {line.faulty}</span>}
      </th>
      <td className="number">{line.kind === 'item' ? '' : `${line.found ?? '–'} of ${line.expected}`}</td>
      {context.isClosed ? (
        <td className="word">{asClosed ? wordOfSaid(asClosed.said) : 'not on the list'}</td>
      ) : null}
      <td>
        <span className={`word ${TONE_OF_STATE[line.state]}`}>{wordOfLine(line)}</span>
        {line.said?.note ? <span className="small"> {line.said.note}</span> : null}
      </td>
      {isSaid ? (
        <>
          <td>{context.whoOf(line.said)}</td>
          <td className="number">{line.said ? showTime(line.said.at, context.zone) : ''}</td>
        </>
      ) : null}
      <td>
        <LastSpot line={line} context={context} />
      </td>
    </tr>
  );
}

export function LinesTable({
  title,
  lines,
  context,
}: {
  readonly title: string;
  readonly lines: readonly CountLine[];
  readonly context: LinesContext;
}) {
  if (lines.length === 0) return null;
  const isSaid = lines.some(({ said }) => said !== null);
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
              {context.isClosed ? <th scope="col">As closed</th> : null}
              <th scope="col">As known now</th>
              {isSaid ? (
                <>
                  <th scope="col">Who</th>
                  <th scope="col" className="number">
                    When
                  </th>
                </>
              ) : null}
              <th scope="col">Last put down</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <LineRow key={keyOfLine(line)} line={line} context={context} isSaid={isSaid} />
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  );
}
