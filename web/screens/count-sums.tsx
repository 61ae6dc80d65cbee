// The sums of a count, as closed beside as known now, and how each compartment was answered for.
import type { CompartmentAnswer, Count } from '#domain/count-shape.ts';
import type { ClosedSums } from '#domain/movement.ts';
import { Tape } from '../look/tape.tsx';
import { WORD_OF_CHECK } from './words.ts';

const SUMS: readonly (readonly [keyof ClosedSums, string])[] = [
  ['expected', 'Expected'],
  ['aboard', 'Aboard'],
  ['notFound', 'Not found yet'],
  ['away', 'Left, lent or handed over'],
  ['compartments', 'Compartments'],
  ['notOpened', 'Compartments not opened'],
];

export function SumsTable({ count }: { readonly count: Count }) {
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

export function CompartmentTable({ compartments }: { readonly compartments: readonly CompartmentAnswer[] }) {
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
              <td className={compartment.open > 0 ? 'number strong' : 'number'}>{compartment.open}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
