// A new thing in one short form: what it is and where it is to begin with. Everything else can be said later on its page.
import './thing.css';
import { type FormEvent, useState } from 'react';
import { Link, useNavigate, useSearchParams } from 'react-router';
import { NUMBER_MAX } from '#domain/movement.ts';
import {
  PLAIN_FACTS,
  type Thing,
  type ThingKind,
  thingFactsSchema,
  thingKindSchema,
  whoseSchema,
} from '#domain/thing.ts';
import type { Refused } from '../data/ask.ts';
import { makeThing } from '../data/thing-edit.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { Tape } from '../look/tape.tsx';
import { RefusedNotice, useTitle } from './parts.tsx';
import { ClassSelect, PlaceSelect, Select } from './thing-inputs.tsx';
import { WORD_OF_KIND } from './words.ts';

const KINDS: readonly (readonly [ThingKind, string])[] = [
  ['item', 'one thing known by itself: a camera, a lens, a case'],
  ['counted', 'alike and counted: cables, stands, clamps'],
  ['consumable', 'gets used up: tape, wipes, cells'],
];

interface Said {
  readonly name: string;
  readonly classId: string;
  readonly maker: string;
  readonly model: string;
  readonly serial: string;
  readonly unit: string;
  readonly whose: string;
  readonly holds: string;
  readonly placeId: string;
  readonly number: string;
}
const NOTHING: Said = {
  ...{ name: '', classId: '', maker: '', model: '', serial: '', unit: '' },
  ...{ whose: 'ours', holds: 'nothing', placeId: '', number: '1' },
};

const orNull = (text: string): string | null => (text.trim() === '' ? null : text.trim());

/** What to make, or the sentence that says what to correct first, and at which field. */
function newThingOf(kind: ThingKind, said: Said) {
  if (said.name.trim() === '') return { field: 'name', sentence: 'Give it a name.' } as const;
  const number = Number(said.number);
  const isCounted = kind !== 'item' && said.placeId !== '';
  if (isCounted && (!Number.isInteger(number) || number < 1 || number > NUMBER_MAX))
    return { field: 'number', sentence: 'Say how many there are: a whole number of 1 or more.' } as const;
  const facts = thingFactsSchema.parse({
    ...PLAIN_FACTS,
    name: said.name.trim(),
    classId: orNull(said.classId),
    maker: orNull(said.maker),
    model: orNull(said.model),
    serial: kind === 'item' ? orNull(said.serial) : null,
    unit: kind === 'item' ? null : orNull(said.unit),
    whose: whoseSchema.parse(said.whose),
    container: kind === 'item' && said.holds === 'others',
  });
  return {
    make: {
      kind,
      facts,
      vehicle: kind === 'item' && said.holds === 'vehicle',
      placeId: orNull(said.placeId),
      number: isCounted ? number : null,
    },
  } as const;
}

function KindChoice({
  kind,
  onKind,
}: {
  readonly kind: ThingKind;
  readonly onKind: (kind: ThingKind) => void;
}) {
  return (
    <fieldset className="thing-group">
      <legend>What kind of thing</legend>
      {KINDS.map(([one, words]) => (
        <label key={one} className="thing-tick">
          <input type="radio" name="kind" checked={kind === one} onChange={() => onKind(one)} />{' '}
          {WORD_OF_KIND[one]} <span className="field-hint">{words}</span>
        </label>
      ))}
    </fieldset>
  );
}

interface FieldsProps {
  readonly kind: ThingKind;
  readonly said: Said;
  readonly wrong: { readonly field: string; readonly sentence: string } | null;
  readonly set: (part: Partial<Said>) => void;
}

function WhatFields({ kind, said, wrong, set }: FieldsProps) {
  const line = (key: 'name' | 'maker' | 'model' | 'serial' | 'unit', label: string, max = 300) => (
    <Field
      label={label}
      value={said[key]}
      maxLength={max}
      autoComplete="off"
      error={wrong?.field === key ? wrong.sentence : undefined}
      onChange={(event) => set({ [key]: event.target.value })}
    />
  );
  return (
    <fieldset className="thing-group">
      <legend>What it is</legend>
      {line('name', 'Name')}
      <ClassSelect label="Class" value={said.classId} onValue={(classId) => set({ classId })} />
      {line('maker', 'Maker')}
      {line('model', 'Model')}
      {kind === 'item' ? line('serial', 'Serial number') : line('unit', 'Counted in', 40)}
      <Select label="Whose" value={said.whose} onValue={(whose) => set({ whose })}>
        <option value="ours">ours</option>
        <option value="rented-in">rented in</option>
        <option value="borrowed">borrowed</option>
        <option value="client">client’s</option>
      </Select>
      {kind === 'item' ? (
        <Select label="Can other things be in it" value={said.holds} onValue={(holds) => set({ holds })}>
          <option value="nothing">no</option>
          <option value="others">yes: a case, cart, drawer or pouch</option>
          <option value="vehicle">yes: it drives or floats</option>
        </Select>
      ) : null}
    </fieldset>
  );
}

function WhereFields({ kind, said, wrong, set }: FieldsProps) {
  return (
    <fieldset className="thing-group">
      <legend>{kind === 'item' ? 'Where it is' : 'Where they are'}</legend>
      <PlaceSelect
        label="Place"
        value={said.placeId}
        none="not said yet"
        onValue={(placeId) => set({ placeId })}
      />
      {kind === 'item' ? null : (
        <Field
          label="How many"
          inputMode="numeric"
          value={said.number}
          maxLength={10}
          disabled={said.placeId === ''}
          hint={
            said.placeId === '' ? 'Choose the place first; other places can be counted later.' : undefined
          }
          error={wrong?.field === 'number' ? wrong.sentence : undefined}
          onChange={(event) => set({ number: event.target.value })}
        />
      )}
    </fieldset>
  );
}

/** Kind and place may come with the address: "a new thing here". */
function useFirst() {
  const [query, setQuery] = useSearchParams();
  const kind = thingKindSchema.catch('item').parse(query.get('kind'));
  const setKind = (next: ThingKind) => {
    const changed = new URLSearchParams(query);
    changed.set('kind', next);
    setQuery(changed, { replace: true });
  };
  return { kind, setKind, placeId: query.get('place') ?? '' };
}

function useMaking() {
  const navigate = useNavigate();
  const { kind, setKind, placeId } = useFirst();
  const [said, setSaid] = useState<Said>({ ...NOTHING, placeId });
  const [id, setId] = useState(() => crypto.randomUUID());
  const [wrong, setWrong] = useState<FieldsProps['wrong']>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const [made, setMade] = useState<Thing | null>(null);
  const make = async (another: boolean) => {
    const read = newThingOf(kind, said);
    setWrong('make' in read ? null : read);
    if (!('make' in read)) return;
    setBusy(true);
    const answer = await makeThing(id, read.make);
    setBusy(false);
    setRefused(answer.ok ? null : answer);
    if (!answer.ok) return;
    if (!another) return navigate(`/things/${id}`);
    setMade(answer.body);
    setId(crypto.randomUUID());
    // What the next one most likely shares stays.
    setSaid({ ...said, serial: '', number: '1' });
  };
  const set = (part: Partial<Said>) => setSaid((before) => ({ ...before, ...part }));
  return { kind, setKind, said, set, wrong, refused, busy, made, make };
}

export function NewThingScreen() {
  useTitle('New thing');
  const { kind, setKind, said, set, wrong, refused, busy, made, make } = useMaking();
  const submit = (event: FormEvent) => {
    event.preventDefault();
    void make(false);
  };
  const fields = { kind, said, wrong, set };
  return (
    <>
      <Tape level={1}>New thing</Tape>
      <p className="measure">
        Its name is enough to begin with. Everything else can be written down on its page, now or later. For
        many things at once, <Link to="/bring-in">bring in a list</Link>.
      </p>
      {made ? (
        <Notice kind="news">
          <p>
            <Link to={`/things/${made.id}`}>{made.name}</Link> is written down. The next one:
          </p>
        </Notice>
      ) : null}
      <form className="thing-form" onSubmit={submit} aria-label="New thing" noValidate>
        <KindChoice kind={kind} onKind={setKind} />
        <WhatFields {...fields} />
        <WhereFields {...fields} />
        {refused ? <RefusedNotice refused={refused} /> : null}
        <div className="ways thing-save">
          <Button kind="main" type="submit" disabled={busy}>
            {busy ? 'Writing it down …' : 'Write it down'}
          </Button>
          <Button disabled={busy} onClick={() => void make(true)}>
            Write it down, then another
          </Button>
        </div>
      </form>
    </>
  );
}
