// The wrap sheet of a stop: looked at, then printed, before the phone is dead.
import './wrap-sheet.css';
import { Link, useParams, useSearchParams } from 'react-router';
import { type WrapSheet, wrapSheetSchema } from '#domain/wrap-sheet.ts';
import { usePlaces } from '../data/places.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Tape } from '../look/tape.tsx';
import { WrapSheetPage } from '../look/wrap-sheet.tsx';
import { Answered, bodyOf, useTitle } from './parts.tsx';
import { showTime } from './words.ts';

/** Which vehicle the sheet asks for, where nobody has opened the count and there are several. */
function VehicleChoice({ sheet }: { readonly sheet: WrapSheet }) {
  const [, setQuery] = useSearchParams();
  const places = bodyOf(usePlaces().answer);
  const vehicles = [...(places?.byId.values() ?? [])].filter(({ kind }) => kind === 'vehicle');
  if (sheet.isOpened || vehicles.length < 2) return null;
  const chosen = vehicles.find(({ name }) => name === sheet.vehicleName)?.id ?? '';
  return (
    <label className="sheet-vehicle">
      Back into
      <select
        value={chosen}
        onChange={(event) => setQuery({ vehicle: event.target.value }, { replace: true })}
      >
        {vehicles.map(({ id, name }) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}

function SheetBody({ sheet, count }: { readonly sheet: WrapSheet; readonly count: string }) {
  useTitle(`Wrap sheet ${sheet.stopName}`);
  return (
    <>
      <div className="not-on-paper">
        <Tape level={1}>Wrap sheet</Tape>
        <p className="measure">
          One page for an evening without a phone. Tick it with a pencil at the vehicle; enter the ticks
          later, dated as of then.
        </p>
        <div className="row-form">
          <Button kind="main" onClick={() => window.print()}>
            Print
          </Button>
          <VehicleChoice sheet={sheet} />
          <Link to={`${count}/from-paper`}>Enter the ticks</Link>
        </div>
      </div>
      <WrapSheetPage sheet={sheet} when={showTime(sheet.madeAt, sheet.zone)} />
    </>
  );
}

export function WrapSheetScreen() {
  const { stopId, round } = useParams();
  const [query] = useSearchParams();
  const vehicle = query.get('vehicle');
  const path = `/api/counts/${stopId}/${round}/sheet${vehicle ? `?vehicle=${encodeURIComponent(vehicle)}` : ''}`;
  const { answer, again } = useAnswer(path, wrapSheetSchema);
  return (
    <Answered answer={answer} onAgain={again}>
      {(sheet) => <SheetBody sheet={sheet} count={`/counts/${stopId}/${round}`} />}
    </Answered>
  );
}
