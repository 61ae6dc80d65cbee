// A job as it is written down: its name, for whom, and its days.
import { type FormEvent, useId, useState } from 'react';
import { type Job, jobFactsSchema } from '#domain/place.ts';
import type { Refused } from '../data/ask.ts';
import { addClient, type Client, saveJob, useClients } from '../data/jobs.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { EditedMeanwhile } from './edited-meanwhile.tsx';
import { textIn } from './form-text.ts';
import { bodyOf, RefusedNotice } from './parts.tsx';
import { showDates } from './when.ts';

const NEW_CLIENT = 'new';

function ClientField({
  chosen,
  onChoose,
  clients,
}: {
  readonly chosen: string;
  readonly onChoose: (id: string) => void;
  readonly clients: readonly Client[];
}) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>Client</label>
      <select id={id} value={chosen} onChange={(event) => onChoose(event.target.value)}>
        <option value="">nobody yet</option>
        {clients.map((client) => (
          <option key={client.id} value={client.id}>
            {client.name}
          </option>
        ))}
        <option value={NEW_CLIENT}>somebody new …</option>
      </select>
    </div>
  );
}

function factsIn(form: FormData, partyId: string | null) {
  const orNothing = (text: string) => (text === '' ? null : text);
  return jobFactsSchema.safeParse({
    name: textIn(form, 'name'),
    partyId,
    startsOn: orNothing(textIn(form, 'startsOn')),
    endsOn: orNothing(textIn(form, 'endsOn')),
    note: orNothing(textIn(form, 'note')),
  });
}

const SAY_AGAIN: Refused = {
  ok: false,
  status: 400,
  kind: 'invalid-request',
  sentence: 'A job needs a name, and its days are dates such as 2026-11-25.',
};

const wordsOf = (job: Job, clients: readonly Client[]): readonly (readonly [string, string])[] => [
  ['Name', job.name],
  ['Client', clients.find(({ id }) => id === job.partyId)?.name ?? ''],
  ['Days', showDates(job.startsOn, job.endsOn)],
  ['Note', job.note ?? ''],
];

/** `job`: the one to edit, as it was read; null for a new one. */
export function JobForm({
  job,
  onDone,
  onLeave,
}: {
  readonly job: Job | null;
  readonly onDone: (job: Job) => void;
  readonly onLeave: () => void;
}) {
  const noteId = useId();
  const clients = bodyOf(useClients().answer) ?? [];
  const [client, setClient] = useState(job?.partyId ?? '');
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  // What was read when the form opened; the job itself follows what others write meanwhile.
  const [first] = useState(job);
  const [base, setBase] = useState(job);
  const save = async (form: FormData): Promise<Refused | Job> => {
    const made = client === NEW_CLIENT ? await addClient(textIn(form, 'newClient')) : null;
    if (made !== null && !made.ok) return made;
    if (made !== null) setClient(made.body.id);
    const facts = factsIn(form, made?.body.id ?? (client === '' ? null : client));
    if (!facts.success) return SAY_AGAIN;
    const saved = await saveJob(facts.data, base);
    return saved.ok ? saved.body : saved;
  };
  const submit = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    setBusy(true);
    const saved = await save(new FormData(event.currentTarget));
    setBusy(false);
    if ('ok' in saved) setRefused(saved);
    else onDone(saved);
  };
  return (
    <form className="card job-form not-on-paper" onSubmit={(event) => void submit(event)}>
      {refused?.kind === 'version-moved' && job !== null ? (
        <EditedMeanwhile
          now={wordsOf(job, clients)}
          onTheirs={onLeave}
          onMine={() => {
            setBase(job);
            setRefused(null);
          }}
        />
      ) : refused === null ? null : (
        <RefusedNotice refused={refused} />
      )}
      <div className="form-row">
        <Field
          label="Name of the job"
          name="name"
          required
          maxLength={300}
          defaultValue={first?.name ?? ''}
        />
        <ClientField chosen={client} onChoose={setClient} clients={clients} />
        {client === NEW_CLIENT ? (
          <Field label="Name of the client" name="newClient" required maxLength={300} />
        ) : null}
      </div>
      <div className="form-row">
        <Field label="First day" name="startsOn" type="date" defaultValue={first?.startsOn ?? ''} />
        <Field label="Last day" name="endsOn" type="date" defaultValue={first?.endsOn ?? ''} />
      </div>
      <div className="field">
        <label htmlFor={noteId}>Note</label>
        <textarea id={noteId} name="note" maxLength={4_000} defaultValue={first?.note ?? ''} />
      </div>
      <div className="form-ways">
        <Button kind="main" type="submit" disabled={busy}>
          {job === null ? 'Make the job' : 'Keep the changes'}
        </Button>
        <Button onClick={onLeave}>Leave it</Button>
      </div>
    </form>
  );
}
