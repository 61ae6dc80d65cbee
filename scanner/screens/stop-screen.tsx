// One stop: going in, or back aboard. What was not found on an earlier day stands first, so that it is looked for.
import { type FormEvent, useState } from 'react';
import { openOf } from '#domain/count-answers.ts';
import type { PlaceId } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { Choice, Choices } from '../../web/look/choice.tsx';
import { Field } from '../../web/look/field.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { vehiclesOf } from '../store/vehicles.ts';
import { Frame, Section } from './frame.tsx';
import { OutLines } from './out-lines.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { useStillOut } from './use-out.ts';
import { type StopInView, useStop } from './use-stop.ts';
import { placeName } from './words.ts';

function NameOfStop({ view }: { readonly view: StopInView }) {
  const { phone, sync } = usePage();
  const [name, setName] = useState('');
  const save = async (event: FormEvent) => {
    event.preventDefault();
    if (name.trim() === '') return;
    await phone.nameStop(view.stop.id, name.trim());
    sync.wake();
    setName('');
  };
  return (
    <details>
      <summary>{view.stop.unnamed ? 'Name this stop' : 'Rename this stop'}</summary>
      <form onSubmit={(event) => void save(event)}>
        <Field
          label="Name of the stop"
          value={name}
          onChange={(event) => setName(event.target.value)}
          maxLength={300}
          placeholder={view.stop.name}
        />
        <Button type="submit">Keep the name</Button>
      </form>
    </details>
  );
}

/** Which vehicle is counted; only asked where there are several, and only before the count is opened. */
function VehicleOfStop({
  view,
  vehicleId,
  onChoose,
}: {
  readonly view: StopInView;
  readonly vehicleId: PlaceId | null;
  readonly onChoose: (vehicleId: PlaceId) => void;
}) {
  const vehicles = vehiclesOf(view.book);
  if (view.count !== null || vehicles.length < 2) return null;
  return (
    <fieldset className="row">
      <legend>The vehicle to count</legend>
      {vehicles.map((vehicle) => (
        <label key={vehicle.id} className="pick">
          <input
            type="radio"
            name="vehicle"
            checked={vehicle.id === vehicleId}
            onChange={() => onChoose(vehicle.id)}
          />{' '}
          {vehicle.name}
        </label>
      ))}
    </fieldset>
  );
}

function openWord(view: StopInView): string {
  const { count } = view;
  if (count === null) return 'everything that was aboard this morning is asked for';
  if (count.closed !== null) return 'closed; look at it, or count again';
  const open = count.lines.filter((line) => line.state === 'open' || line.state === 'short').length;
  return `${open} of ${count.lines.length} still open`;
}

export function StopScreen({ route }: { readonly route: RouteAt<'stop'> }) {
  const view = useStop(route.stopId);
  const { go, act } = usePage();
  const out = useStillOut().filter((line) => line.why === 'not-found');
  const [chosen, setChosen] = useState<PlaceId | null>(null);
  if (view === null) return <Frame title="Unknown stop">This phone does not know this stop any more.</Frame>;
  const { stop, count } = view;
  const vehicleId = chosen ?? view.vehicleId;
  const backAboard = async () => {
    if (count?.closed) return go({ at: 'closed', stopId: stop.id });
    if (count === null) {
      if (vehicleId === null) return;
      const opened = await act(
        [openOf(stop.id, view.round, vehicleId)],
        `The count of ${stop.name} is open.`,
      );
      if (opened === null) return;
    }
    go({ at: 'count', stopId: stop.id });
  };
  const goingIn = () => go({ at: 'going-in', stopId: stop.id });
  const aboard = (
    <Choice
      name="Back aboard"
      more={openWord(view)}
      icon="back-aboard"
      main
      disabled={vehicleId === null}
      onChoose={() => void backAboard()}
    />
  );
  return (
    <Frame title={stop.name}>
      {vehicleId === null ? (
        <Notice kind="news">
          <p>No vehicle is entered yet. Enter one at the desk; then this phone can count it.</p>
        </Notice>
      ) : null}
      <Choices>
        {aboard}
        <Choice
          name="Going in"
          more="scanning it on the way in says later where to look; it is never asked for"
          icon="going-in"
          disabled={vehicleId === null}
          onChoose={goingIn}
        />
      </Choices>
      <VehicleOfStop view={view} vehicleId={vehicleId} onChoose={setChosen} />
      {vehicleId === null ? null : <p className="small">Counts {placeName(view.book, vehicleId)}.</p>}
      {out.length === 0 ? null : (
        <Section title="Look for these first" figure={String(out.length)}>
          <OutLines lines={out} stopId={stop.id} />
        </Section>
      )}
      <NameOfStop view={view} />
      <div className="row">
        <Button icon="find" onClick={() => go({ at: 'find', stopId: stop.id })}>
          Find a thing
        </Button>
        <Button icon="undo" onClick={() => go({ at: 'said', stopId: stop.id })}>
          What was said
        </Button>
        <Button icon="missing" onClick={() => go({ at: 'out' })}>
          Still out there
        </Button>
        <Button icon="count" onClick={() => go({ at: 'sheet', stopId: stop.id })}>
          Wrap sheet
        </Button>
        <Button icon="place" onClick={() => go({ at: 'stops' })}>
          Stops
        </Button>
      </div>
    </Frame>
  );
}
