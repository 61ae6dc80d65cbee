// A count that nobody opened, because no phone worked: paper opens it, as of when it was begun.
import { useId, useState } from 'react';
import { openOf } from '#domain/count-answers.ts';
import { placeIdSchema } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import type { Refused } from '../data/ask.ts';
import { usePlaces } from '../data/places.ts';
import { stampAsOf, writeTold } from '../data/write.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { Field } from '../look/field.tsx';
import { paperTimeOf } from './from-paper-time.ts';
import { bodyOf, RefusedNotice } from './parts.tsx';

export function OpenFromPaper({
  stop,
  round,
  onOpened,
}: {
  readonly stop: Stop;
  readonly round: number;
  readonly onOpened: () => void;
}) {
  const id = useId();
  const places = bodyOf(usePlaces().answer);
  const vehicles = [...(places?.byId.values() ?? [])].filter(({ kind }) => kind === 'vehicle');
  const [chosen, setChosen] = useState('');
  const [when, setWhen] = useState('');
  const [error, setError] = useState<string | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const vehicle = vehicles.find((known) => known.id === chosen) ?? vehicles[0];
  if (places !== null && vehicle === undefined) {
    return (
      <Empty title="No vehicle is entered yet.">
        <p>A count is of what belongs into a vehicle. Enter the vehicle first.</p>
      </Empty>
    );
  }
  const open = async () => {
    const at = paperTimeOf(when, stop.zone, null);
    setError(typeof at === 'string' ? at : null);
    if (typeof at === 'string' || vehicle === undefined) return;
    const told = stampAsOf([openOf(stop.id, round, placeIdSchema.parse(vehicle.id))], at);
    const written = await writeTold(told);
    setRefused(written.ok ? null : written);
    if (written.ok) onOpened();
  };
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void open();
      }}
    >
      <p className="measure">
        Nobody has opened a count here. Say when it was begun: what was aboard that morning is what it asks
        for.
      </p>
      {refused === null ? null : <RefusedNotice refused={refused} />}
      <div className="row-form">
        <Field
          label="Begun"
          type="datetime-local"
          required
          value={when}
          onChange={(event) => setWhen(event.target.value)}
          hint={`On the clock there (${stop.zone}).`}
          error={error ?? undefined}
        />
        <div className="field">
          <label htmlFor={id}>Back into</label>
          <select id={id} value={vehicle?.id ?? ''} onChange={(event) => setChosen(event.target.value)}>
            {vehicles.map((known) => (
              <option key={known.id} value={known.id}>
                {known.name}
              </option>
            ))}
          </select>
        </div>
        <Button kind="main" type="submit" disabled={vehicle === undefined}>
          Open the count as of then
        </Button>
      </div>
    </form>
  );
}
