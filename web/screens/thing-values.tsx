// What a thing costs new, each price with its date and source, in the currency it was given in.
import { useId } from 'react';
import { z } from 'zod';
import type { Thing } from '#domain/thing.ts';
import { replacementValueSchema } from '#domain/worth.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Tape } from '../look/tape.tsx';
import { Answered, useOutfit } from './parts.tsx';
import { showDate, showMoney } from './words.ts';

const valuesSchema = z.strictObject({ values: z.array(replacementValueSchema) });
type Values = z.infer<typeof valuesSchema>['values'];

function ValueTable({ values }: { readonly values: Values }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Date</th>
          <th scope="col">Source</th>
          <th scope="col" className="number">
            Replacement value
          </th>
        </tr>
      </thead>
      <tbody>
        {values.map((value) => (
          <tr key={value.id}>
            <td>{showDate(value.onDate)}</td>
            <td>{value.source}</td>
            <td className="number">{showMoney({ minor: value.amountMinor, currency: value.currency })}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function ThingValues({ thing }: { readonly thing: Thing }) {
  const id = useId();
  const { currency } = useOutfit();
  const { answer, again } = useAnswer(`/api/things/${thing.id}/values`, valuesSchema);
  return (
    <section aria-labelledby={id}>
      <Tape level={2} id={id}>
        What it costs new
      </Tape>
      <Answered answer={answer} onAgain={again}>
        {({ values }) => (
          <>
            {values.length === 0 ? <p>No price is written down yet.</p> : <ValueTable values={values} />}
            <p className="small">
              {thing.kind === 'item' ? '' : 'For one of them. '}
              Amounts stand in the currency they were given in; the outfit’s own is {currency}. Guidance only:
              the policy and the insurer decide what is paid.
            </p>
          </>
        )}
      </Answered>
    </section>
  );
}
