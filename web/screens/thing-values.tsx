// What a thing costs new, each price with its date and source, in the currency it was given in; and one more.
import { type FormEvent, useId, useState } from 'react';
import type { Thing } from '#domain/thing.ts';
import { type ReplacementValue, replacementValueFactsSchema } from '#domain/worth.ts';
import type { Refused } from '../data/ask.ts';
import { readAmount } from '../data/thing-draft.ts';
import { addValue, useValues } from '../data/thing-records.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, RefusedNotice, useOutfit } from './parts.tsx';
import { showDate, showMoney } from './words.ts';

function ValueTable({ values }: { readonly values: readonly ReplacementValue[] }) {
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
            <td className="word">{showDate(value.onDate)}</td>
            <td>{value.source}</td>
            <td className="number">{showMoney({ minor: value.amountMinor, currency: value.currency })}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

interface Said {
  readonly amount: string;
  readonly currency: string;
  readonly onDate: string;
  readonly source: string;
}

const today = (): string => new Intl.DateTimeFormat('sv-SE').format(Date.now());

/** The facts, or the sentence that says what to correct. */
function factsOf(said: Said) {
  const currency = said.currency.trim().toUpperCase();
  if (!/^[A-Z]{3}$/.test(currency)) return 'Write the currency as three letters, such as EUR.';
  const amountMinor = readAmount(said.amount, currency);
  if (amountMinor === null) return 'Write the amount as a number, such as 1250 or 1250.50.';
  if (said.source.trim() === '') return 'Say where the price is from: a shop, an offer, your own estimate.';
  const parsed = replacementValueFactsSchema.safeParse({
    ...{ amountMinor, currency, onDate: said.onDate, source: said.source.trim() },
  });
  return parsed.success ? parsed.data : 'Give the day of the price, and an amount of 0 or more.';
}

function AddValue({ thing, onAdded }: { readonly thing: Thing; readonly onAdded: () => void }) {
  const { currency } = useOutfit();
  const first = { amount: '', currency, onDate: today(), source: '' };
  const [said, setSaid] = useState<Said>(first);
  const [id, setId] = useState(() => crypto.randomUUID());
  const [wrong, setWrong] = useState<string | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const submit = async (event: FormEvent) => {
    event.preventDefault();
    const facts = factsOf(said);
    setWrong(typeof facts === 'string' ? facts : null);
    if (typeof facts === 'string') return;
    const added = await addValue(thing.id, id, facts);
    setRefused(added.ok ? null : added);
    if (!added.ok) return;
    setSaid(first);
    setId(crypto.randomUUID());
    onAdded();
  };
  const set = (part: Partial<Said>) => setSaid({ ...said, ...part });
  return (
    <details className="not-on-paper">
      <summary>Add a price</summary>
      <form onSubmit={submit} aria-label="Add a price">
        <div className="thing-pair">
          <Field
            label="Amount"
            inputMode="decimal"
            value={said.amount}
            maxLength={30}
            onChange={(event) => set({ amount: event.target.value })}
          />
          <Field
            label="Currency"
            value={said.currency}
            maxLength={3}
            onChange={(event) => set({ currency: event.target.value })}
          />
        </div>
        <Field
          label="Day of the price"
          type="date"
          value={said.onDate}
          onChange={(event) => set({ onDate: event.target.value })}
        />
        <Field
          label="Where the price is from"
          value={said.source}
          maxLength={300}
          onChange={(event) => set({ source: event.target.value })}
        />
        {wrong ? (
          <p className="field-error" role="alert">
            {wrong}
          </p>
        ) : null}
        {refused ? <RefusedNotice refused={refused} /> : null}
        <Button type="submit">Write it down</Button>
      </form>
    </details>
  );
}

export function ThingValues({ thing }: { readonly thing: Thing }) {
  const id = useId();
  const { currency } = useOutfit();
  const { answer, again } = useValues(thing.id);
  return (
    <section aria-labelledby={id}>
      <Tape level={2} id={id}>
        What it costs new
      </Tape>
      <Answered answer={answer} onAgain={again}>
        {({ values }) => (
          <>
            {values.length === 0 ? <p>No price is written down yet.</p> : <ValueTable values={values} />}
            {thing.mergedIntoId === null ? <AddValue thing={thing} onAdded={again} /> : null}
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
