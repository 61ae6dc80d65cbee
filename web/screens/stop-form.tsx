// A stop as it is planned: its name, where, and its times on the wall of its own zone.
import { type FormEvent, useId, useState } from 'react';
import { instantAt, localTimeAt } from '#domain/local-time.ts';
import type { Job, Stop } from '#domain/place.ts';
import type { Refused } from '../data/ask.ts';
import { type Client, useJobs } from '../data/jobs.ts';
import { usePlaces } from '../data/places.ts';
import { editStop, makeStop, type StopFacts } from '../data/stops.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { EditedMeanwhile } from './edited-meanwhile.tsx';
import { textIn } from './form-text.ts';
import { bodyOf, RefusedNotice, useOutfit } from './parts.tsx';
import { showTime } from './words.ts';

const zones = Intl.supportedValuesOf('timeZone');
const refusedFor = (sentence: string): Refused => ({
  ok: false,
  status: 400,
  kind: 'invalid-request',
  sentence,
});

/** The facts in the form, or a sentence that says what to correct. */
function factsIn(form: FormData): StopFacts | string {
  const zone = textIn(form, 'zone');
  if (!zones.includes(zone) && zone !== 'UTC')
    return `“${zone}” is no time zone that this browser knows. Choose one of the list, such as Europe/Lisbon.`;
  const startsAt = instantAt(textIn(form, 'startsAt'), zone);
  if (startsAt === null) return 'Say when the stop begins, as a date and a time.';
  const ends = textIn(form, 'endsAt');
  const endsAt = ends === '' ? null : instantAt(ends, zone);
  if (ends !== '' && endsAt === null) return 'The end is a date and a time, or nothing.';
  const [jobId, placeId] = [textIn(form, 'jobId'), textIn(form, 'placeId')];
  return {
    name: textIn(form, 'name'),
    kind: textIn(form, 'kind') === 'hotel' ? 'hotel' : 'location',
    zone,
    startsAt,
    endsAt,
    jobId: jobId === '' ? null : jobId,
    placeId: placeId === '' ? null : placeId,
  };
}

function Pick({
  label,
  name,
  nothing,
  options,
  first,
}: {
  readonly label: string;
  readonly name: string;
  readonly nothing: string;
  readonly options: readonly Client[];
  readonly first: string;
}) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      {/* The options may come after the form: the select is drawn anew when they are there. */}
      <select key={options.length} id={id} name={name} defaultValue={first}>
        <option value="">{nothing}</option>
        {options.map((option) => (
          <option key={option.id} value={option.id}>
            {option.name}
          </option>
        ))}
      </select>
    </div>
  );
}

function KindChoice({ kind }: { readonly kind: Stop['kind'] }) {
  return (
    <fieldset className="bare field">
      <legend>What it is</legend>
      {(['location', 'hotel'] as const).map((one) => (
        <label key={one} className="stop-kind">
          <input type="radio" name="kind" value={one} defaultChecked={one === kind} /> {one}
        </label>
      ))}
    </fieldset>
  );
}

const wordsOf = (stop: Stop): readonly (readonly [string, string])[] => [
  ['Name', stop.name],
  ['Job', stop.jobName ?? ''],
  ['Begins', showTime(stop.startsAt, stop.zone)],
  ['Ends', stop.endsAt === null ? '' : showTime(stop.endsAt, stop.zone)],
  ['Zone', stop.zone],
];

function Where({ stop }: { readonly stop: Stop | null }) {
  const outfit = useOutfit();
  const id = useId();
  const places = [...(bodyOf(usePlaces().answer)?.byId.values() ?? [])]
    .filter(({ kind }) => kind === 'location' || kind === 'hotel')
    .sort((a, b) => a.name.localeCompare(b.name));
  return (
    <div className="form-row">
      <Pick
        label="Place"
        name="placeId"
        nothing="a new place of this name"
        options={places}
        first={stop?.placeId ?? ''}
      />
      <Field label="Time zone" name="zone" required list={id} defaultValue={stop?.zone ?? outfit.zone} />
      <datalist id={id}>
        {zones.map((zone) => (
          <option key={zone} value={zone} />
        ))}
      </datalist>
    </div>
  );
}

function When({ stop }: { readonly stop: Stop | null }) {
  const outfit = useOutfit();
  const shown = (at: number | null) => (at === null ? '' : localTimeAt(at, stop?.zone ?? outfit.zone));
  return (
    <div className="form-row">
      <Field
        label="Begins"
        name="startsAt"
        type="datetime-local"
        required
        defaultValue={shown(stop?.startsAt ?? Date.now())}
        hint="On the clock there."
      />
      <Field label="Ends" name="endsAt" type="datetime-local" defaultValue={shown(stop?.endsAt ?? null)} />
    </div>
  );
}

/** `stop`: the one to edit, as it was read; null for a new one, of `job` if there is one. */
export function StopForm({
  stop,
  job,
  onDone,
  onLeave,
}: {
  readonly stop: Stop | null;
  readonly job: Job | null;
  readonly onDone: (stop: Stop) => void;
  readonly onLeave: () => void;
}) {
  const jobs = bodyOf(useJobs().answer) ?? [];
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  // What was read when the form opened; the stop itself follows what others write meanwhile.
  const [first] = useState(stop);
  const [base, setBase] = useState(stop);
  const submit = async (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault();
    const facts = factsIn(new FormData(event.currentTarget));
    if (typeof facts === 'string') return setRefused(refusedFor(facts));
    setBusy(true);
    const saved = base === null ? await makeStop(facts) : await editStop(facts, base);
    setBusy(false);
    if (saved.ok) onDone(saved.body);
    else setRefused(saved);
  };
  const writeOver = () => {
    setBase(stop);
    setRefused(null);
  };
  return (
    <form className="card job-form not-on-paper" onSubmit={(event) => void submit(event)}>
      {refused?.kind === 'version-moved' && stop !== null ? (
        <EditedMeanwhile now={wordsOf(stop)} onTheirs={onLeave} onMine={writeOver} />
      ) : refused === null ? null : (
        <RefusedNotice refused={refused} />
      )}
      <div className="form-row">
        <Field
          label="Name of the stop"
          name="name"
          required
          maxLength={300}
          defaultValue={first?.name ?? ''}
        />
        <Pick
          label="Job"
          name="jobId"
          nothing="none"
          options={jobs}
          first={first === null ? (job?.id ?? '') : (first.jobId ?? '')}
        />
      </div>
      <KindChoice kind={first?.kind ?? 'location'} />
      <Where stop={first} />
      <When stop={first} />
      <div className="form-ways">
        <Button kind="main" type="submit" disabled={busy}>
          {stop === null ? 'Make the stop' : 'Keep the changes'}
        </Button>
        <Button onClick={onLeave}>Leave it</Button>
      </div>
    </form>
  );
}
