// Editing a place under the version that was read. Where somebody else was faster, both versions stand side by side.
import { type FormEvent, useId, useState } from 'react';
import { Link } from 'react-router';
import type { PlaceNode } from '#domain/where.ts';
import type { Refused } from '../data/ask.ts';
import {
  askPlace,
  factsOf,
  isNamedElsewhere,
  type KeptPlace,
  type PlaceFacts,
  savePlace,
} from '../data/place-edits.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { RefusedNotice } from './parts.tsx';
import { usePlaceFacts } from './place-picture.tsx';

const FIELDS = [
  ['name', 'Name'],
  ['address', 'Address'],
  ['zone', 'Time zone'],
  ['note', 'Note'],
] as const;

const shownIn = (facts: PlaceFacts, field: (typeof FIELDS)[number][0]): string => facts[field] ?? '';

/** Both versions, with what is different marked, and the choice between them. */
function BothVersions({
  mine,
  theirs,
  onMine,
  onTheirs,
}: {
  readonly mine: PlaceFacts;
  readonly theirs: KeptPlace;
  readonly onMine: () => void;
  readonly onTheirs: () => void;
}) {
  return (
    <Notice kind="trouble" title="Somebody changed this place while you edited it.">
      <table className="figures">
        <thead>
          <tr>
            <th scope="col">Field</th>
            <th scope="col">Yours</th>
            <th scope="col">As it is now</th>
          </tr>
        </thead>
        <tbody>
          {FIELDS.filter(([field]) => shownIn(mine, field) !== shownIn(factsOf(theirs), field)).map(
            ([field, label]) => (
              <tr key={field}>
                <th scope="row">{label}</th>
                <td>{shownIn(mine, field) || 'empty'}</td>
                <td>{shownIn(factsOf(theirs), field) || 'empty'}</td>
              </tr>
            ),
          )}
        </tbody>
      </table>
      <div className="ways">
        <Button onClick={onTheirs}>Keep it as it is now</Button>
        <Button onClick={onMine}>Save yours over it</Button>
      </div>
    </Notice>
  );
}

interface FormProps {
  readonly kept: KeptPlace;
  readonly facts: PlaceFacts;
  readonly onChange: (facts: PlaceFacts) => void;
}

function PlaceFields({ kept, facts, onChange }: FormProps) {
  const id = useId();
  const isFixedName = isNamedElsewhere(kept.kind);
  const set = (field: 'name' | 'address' | 'zone') => (event: { target: { value: string } }) => {
    const { value } = event.target;
    onChange({ ...facts, [field]: field === 'name' || value !== '' ? value : null });
  };
  return (
    <>
      {isFixedName ? (
        <p>
          {kept.kind === 'party' ? (
            'A person or company is renamed with its contact.'
          ) : (
            <>
              It is renamed as the thing that it is: <Link to={`/things/${kept.id}`}>{kept.name}</Link>.
            </>
          )}
        </p>
      ) : (
        <Field label="Name" required maxLength={300} value={facts.name} onChange={set('name')} />
      )}
      <Field label="Address" maxLength={1_000} value={facts.address ?? ''} onChange={set('address')} />
      {kept.kind === 'location' || kept.kind === 'hotel' || kept.kind === 'store' ? (
        <Field
          label="Time zone"
          hint="As the IANA database names it, such as Europe/Lisbon. Empty: the outfit’s own."
          maxLength={80}
          value={facts.zone ?? ''}
          onChange={set('zone')}
        />
      ) : null}
      <div className="field">
        <label htmlFor={id}>Note</label>
        <textarea
          id={id}
          maxLength={4_000}
          value={facts.note ?? ''}
          onChange={({ target: { value } }) => onChange({ ...facts, note: value === '' ? null : value })}
        />
      </div>
    </>
  );
}

function EditForm({ first, onDone }: { readonly first: KeptPlace; readonly onDone: () => void }) {
  const [kept, setKept] = useState(first);
  const [facts, setFacts] = useState(() => factsOf(first));
  const [theirs, setTheirs] = useState<KeptPlace | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const save = async (version: number) => {
    const saved = await savePlace(kept.id, facts, version);
    if (saved.ok) return onDone();
    if (saved.kind !== 'version-moved') return setRefused(saved);
    const now = await askPlace(kept.id);
    if (now.ok) setTheirs(now.body);
    else setRefused(now);
  };
  const takeTheirs = (place: KeptPlace) => {
    setKept(place);
    setFacts(factsOf(place));
    setTheirs(null);
  };
  return (
    <form
      className="card place-form not-on-paper"
      aria-label="Edit the place"
      onSubmit={(event: FormEvent) => {
        event.preventDefault();
        void save(kept.version);
      }}
    >
      {theirs ? (
        <BothVersions
          mine={facts}
          theirs={theirs}
          onMine={() => {
            setKept(theirs);
            setTheirs(null);
            void save(theirs.version);
          }}
          onTheirs={() => takeTheirs(theirs)}
        />
      ) : null}
      <PlaceFields kept={kept} facts={facts} onChange={setFacts} />
      {refused ? <RefusedNotice refused={refused} /> : null}
      <div className="place-ways">
        <Button kind="main" type="submit" disabled={theirs !== null}>
          Save
        </Button>
        <Button onClick={onDone}>Leave it as it is</Button>
      </div>
    </form>
  );
}

/** The version that is edited is the one that was read when the form opened; what others change later does not slip in. */
export function PlaceEdit({ place, onDone }: { readonly place: PlaceNode; readonly onDone: () => void }) {
  const kept = usePlaceFacts(place.id);
  return kept === null ? <p className="waiting">Asking …</p> : <EditForm first={kept} onDone={onDone} />;
}
