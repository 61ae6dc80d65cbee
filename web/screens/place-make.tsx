// Making a place: a compartment of the one that is shown, a vehicle that stands there, or a place of its own.
import { type FormEvent, useId, useState } from 'react';
import type { PlaceNode } from '#domain/where.ts';
import type { Refused } from '../data/ask.ts';
import { MADE_KINDS, type MadeKind, makePlace } from '../data/place-edits.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { RefusedNotice } from './parts.tsx';

function sayKind(kind: MadeKind, place: PlaceNode | null): string {
  if (kind === 'compartment') return `a compartment of ${place?.name ?? ''}`;
  if (kind === 'vehicle') return place === null ? 'a vehicle' : `a vehicle, standing at ${place.name}`;
  return `a ${kind} of its own`;
}

/** Gear lives with a person or is on its way, but no compartment is built into either. */
const holdsCompartments = (place: PlaceNode | null): boolean =>
  place !== null && place.kind !== 'party' && place.kind !== 'in-transit';

const isGround = (place: PlaceNode | null): boolean =>
  place !== null && (place.kind === 'store' || place.kind === 'location' || place.kind === 'hotel');

export function PlaceMake({
  place,
  onMade,
  onClose,
}: {
  readonly place: PlaceNode | null;
  readonly onMade: (id: string) => void;
  readonly onClose: (() => void) | null;
}) {
  const id = useId();
  const kinds = MADE_KINDS.filter((kind) => kind !== 'compartment' || holdsCompartments(place));
  const [kind, setKind] = useState<MadeKind>(kinds[0] ?? 'store');
  const [name, setName] = useState('');
  const [refused, setRefused] = useState<Refused | null>(null);
  const make = async (event: FormEvent) => {
    event.preventDefault();
    const at = kind === 'compartment' || (kind === 'vehicle' && isGround(place)) ? place : null;
    const made = await makePlace({ kind, name: name.trim(), atId: at?.id ?? null });
    if (!made.ok) return setRefused(made);
    setName('');
    setRefused(null);
    onMade(made.body.id);
  };
  return (
    <form className="card place-form not-on-paper" aria-label="Make a place" onSubmit={make}>
      <div className="row-form">
        <div className="field">
          <label htmlFor={id}>Make</label>
          <select
            id={id}
            value={kind}
            onChange={({ target }) => setKind(kinds.find((one) => one === target.value) ?? kind)}
          >
            {kinds.map((one) => (
              <option key={one} value={one}>
                {sayKind(one, one === 'compartment' || isGround(place) ? place : null)}
              </option>
            ))}
          </select>
        </div>
        <Field
          label="Name"
          required
          maxLength={300}
          pattern=".*\S.*"
          title="A place needs a name"
          value={name}
          onChange={(event) => setName(event.target.value)}
        />
        <Button kind="main" type="submit">
          Make it
        </Button>
        {onClose ? <Button onClick={onClose}>Not now</Button> : null}
      </div>
      {refused ? <RefusedNotice refused={refused} /> : null}
    </form>
  );
}
