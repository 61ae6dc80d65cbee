// What arrived after a count was closed: each line that reads otherwise now, as closed beside as known now.
import { Link } from 'react-router';
import type { Count, CountLine } from '#domain/count-shape.ts';
import type { ClosedLine } from '#domain/movement.ts';
import { Tape } from '../look/tape.tsx';
import { keyOfLine, type LinesContext } from './count-lines.tsx';
import { WideTable } from './parts.tsx';
import { showTime, wordOfLine, wordOfSaid } from './words.ts';

const isOtherwise = (line: CountLine, closed: ClosedLine | undefined): boolean => {
  const said = line.state === 'open' || line.state === 'short' ? 'open' : (line.said?.said ?? 'open');
  return closed === undefined || closed.lineId !== (line.said?.lineId ?? null) || closed.said !== said;
};

export function ChangesSinceClosing({
  count,
  context,
}: {
  readonly count: Count;
  readonly context: LinesContext;
}) {
  if (count.closed === null) return null;
  const changed = count.lines.filter((line) => isOtherwise(line, context.closed.get(keyOfLine(line))));
  if (changed.length === 0) return <p>Nothing has arrived since.</p>;
  return (
    <section>
      <Tape level={2} figure={changed.length}>
        Came in since it was closed
      </Tape>
      <WideTable name="Came in since it was closed">
        <table>
          <thead>
            <tr>
              <th scope="col">Thing</th>
              <th scope="col">As closed</th>
              <th scope="col">As known now</th>
              <th scope="col">Who</th>
              <th scope="col" className="number">
                When
              </th>
            </tr>
          </thead>
          <tbody>
            {changed.map((line) => {
              const closed = context.closed.get(keyOfLine(line));
              return (
                <tr key={keyOfLine(line)}>
                  <th scope="row">
                    <Link to={`/things/${line.thingId}`}>{line.name}</Link>
                  </th>
                  <td className="word">{closed ? wordOfSaid(closed.said) : 'not on the list'}</td>
                  <td className="word strong">{wordOfLine(line)}</td>
                  <td>{context.whoOf(line.said)}</td>
                  <td className="number">{line.said ? showTime(line.said.at, context.zone) : ''}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </WideTable>
    </section>
  );
}
