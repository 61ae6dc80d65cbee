// The first page of an empty database: start with one's own gear, or look around in the demo outfit.
import './begin.css';
import { type FormEvent, useEffect, useState } from 'react';
import { z } from 'zod';
import { ask, type Refused } from '../data/ask.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Tape } from '../look/tape.tsx';
import { RefusedNotice } from './parts.tsx';

const zoneHere = Intl.DateTimeFormat().resolvedOptions().timeZone;
const currencies = Intl.supportedValuesOf('currency');
const zones = Intl.supportedValuesOf('timeZone');
const FIRST_LAST_LOOK = ['Wall sockets and chargers', 'Rails, branches, the boat', 'Bathroom and bedside'];

function factsOf(form: FormData) {
  const text = (name: string) => z.string().parse(form.get(name)).trim();
  return {
    name: text('name'),
    currency: text('currency').toUpperCase(),
    zone: text('zone'),
    units: 'metric',
    yearEnd: '12-31',
    mainsVolts: 230,
    dayTurnsMinutes: 300,
    lastLook: FIRST_LAST_LOOK,
  };
}

function Names({ id, names }: { readonly id: string; readonly names: readonly string[] }) {
  return (
    <datalist id={id}>
      {names.map((name) => (
        <option key={name} value={name} />
      ))}
    </datalist>
  );
}

interface ChoiceProps {
  readonly busy: boolean;
  readonly begin: (path: string, question: { method: 'PUT' | 'POST'; body: unknown }, goTo: string) => void;
}

function OwnGear({ busy, begin }: ChoiceProps) {
  const start = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const body = factsOf(new FormData(event.currentTarget));
    begin('/api/outfit', { method: 'PUT', body }, '/bring-in');
  };
  return (
    <form className="card begin-card" onSubmit={start}>
      <Tape level={2}>Start with my own gear</Tape>
      <p>Say whose gear it is. Then bring in the list you have, whatever its columns are called.</p>
      <Field label="Name of the outfit" name="name" required maxLength={200} autoComplete="organization" />
      <div className="begin-pair">
        <Field
          label="Currency"
          name="currency"
          required
          defaultValue="EUR"
          list="currencies"
          pattern="[A-Za-z]{3}"
          title="Three letters, such as EUR"
        />
        <Field label="Time zone" name="zone" required defaultValue={zoneHere} list="zones" />
      </div>
      <Names id="currencies" names={currencies} />
      <Names id="zones" names={zones} />
      <Button kind="main" type="submit" disabled={busy}>
        Start, then bring in a list
      </Button>
    </form>
  );
}

function LookAround({ busy, begin }: ChoiceProps) {
  return (
    <section className="card begin-card" aria-labelledby="look-around">
      <Tape level={2} id="look-around">
        Look around
      </Tape>
      <p>
        Opens the gear of an invented crew: two people who film wetlands from a 4×4 and a flat-bottomed boat,
        in the middle of a wrap.
      </p>
      <p className="small">Nothing of it is yours. To start clean later, use another data folder.</p>
      <Button disabled={busy} onClick={() => begin('/api/demo', { method: 'POST', body: {} }, '/where')}>
        {busy ? 'Making it …' : 'Open the demo outfit'}
      </Button>
    </section>
  );
}

export function BeginScreen({ onBegun }: { readonly onBegun: () => void }) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    document.title = 'Begin · Tailcount';
  }, []);
  const begin: ChoiceProps['begin'] = async (path, question, goTo) => {
    setBusy(true);
    const answer = await ask(path, z.unknown(), question);
    setBusy(false);
    if (!answer.ok) return setRefused(answer);
    window.history.replaceState(null, '', goTo);
    onBegun();
  };
  return (
    <main className="begin">
      <Tape level={1}>Tailcount</Tape>
      <p className="begin-lead">
        What you own, what went out of the van, what came back aboard, and what is still out there.
      </p>
      {refused ? <RefusedNotice refused={refused} /> : null}
      <div className="begin-choices">
        <OwnGear busy={busy} begin={begin} />
        <LookAround busy={busy} begin={begin} />
      </div>
    </main>
  );
}
