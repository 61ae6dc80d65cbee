// What a count notices by the way and never waits for: scans that were not expected, what to refill, what to tidy.
import { Link } from 'react-router';
import type { Count } from '#domain/count-shape.ts';
import type { Places } from '../data/places.ts';
import { Line, Lines } from '../look/line.tsx';
import { Tape } from '../look/tape.tsx';
import { PlaceChain } from './parts.tsx';
import { showTime, WORD_OF_WHOSE } from './words.ts';

interface AsideProps {
  readonly count: Count;
  readonly zone: string;
  readonly places: Places | null;
}

function Extras({ count, zone }: AsideProps) {
  if (count.extras.length === 0) return null;
  return (
    <section>
      <Tape level={2}>Scanned and not expected</Tape>
      <Lines label="Scanned and not expected">
        {count.extras.map((extra) => (
          <Line
            key={extra.lineId}
            name={
              extra.thingId ? (
                <Link to={`/things/${extra.thingId}`}>{extra.name}</Link>
              ) : (
                <span className="code">{extra.code ?? 'no code'}</span>
              )
            }
            facts={[
              extra.thingId ? '' : 'unknown',
              extra.whose && extra.whose !== 'ours' ? WORD_OF_WHOSE[extra.whose] : '',
              extra.note ?? '',
              showTime(extra.at, zone),
            ]
              .filter(Boolean)
              .join(' · ')}
          />
        ))}
      </Lines>
    </section>
  );
}

function Refill({ count }: AsideProps) {
  if (count.refill.length === 0) return null;
  return (
    <section>
      <Tape level={2}>Refill</Tape>
      <table className="figures">
        <thead>
          <tr>
            <th scope="col">Consumable</th>
            <th scope="col" className="number">
              There is
            </th>
            <th scope="col" className="number">
              Should be
            </th>
          </tr>
        </thead>
        <tbody>
          {count.refill.map((row) => (
            <tr key={row.thingId}>
              <th scope="row">
                <Link to={`/things/${row.thingId}`}>{row.name}</Link>{' '}
                {row.unit ? <span className="small">by the {row.unit}</span> : null}
              </th>
              <td className="number">{row.number}</td>
              <td className="number">{row.par}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Tidy({ count, places }: AsideProps) {
  if (count.misplaced.length === 0) return null;
  return (
    <section>
      <Tape level={2}>Tidy</Tape>
      <table>
        <thead>
          <tr>
            <th scope="col">Thing</th>
            <th scope="col">Is in</th>
            <th scope="col">Lives in</th>
          </tr>
        </thead>
        <tbody>
          {count.misplaced.map((row) => (
            <tr key={row.thingId}>
              <th scope="row">
                <Link to={`/things/${row.thingId}`}>{row.name}</Link>
              </th>
              <td>
                <PlaceChain placeId={row.placeId} places={places} />
              </td>
              <td>
                <PlaceChain placeId={row.homePlaceId} places={places} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

export function CountAside(props: AsideProps) {
  return (
    <>
      <Extras {...props} />
      <Refill {...props} />
      <Tidy {...props} />
    </>
  );
}
