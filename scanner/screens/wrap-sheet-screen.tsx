// The wrap sheet from the phone's own book, also with no network: printed before the battery is flat, ticked with a pencil.
import { useState } from 'react';
import { countAsIfOpened } from '#domain/count-as-if.ts';
import type { PlaceId } from '#domain/ids.ts';
import { wrapSheet } from '#domain/wrap-sheet.ts';
import { Button } from '../../web/look/button.tsx';
import { WrapSheetPage } from '../../web/look/wrap-sheet.tsx';
import { narrowBook } from '../store/narrow-book.ts';
import { Frame } from './frame.tsx';
import type { RouteAt } from './route.ts';
import { useStillOut } from './use-out.ts';
import { type StopInView, useStop } from './use-stop.ts';
import { timeText } from './words.ts';

const LONG_AGO = 0;

function Sheet({ view, vehicleId }: { readonly view: StopInView; readonly vehicleId: PlaceId }) {
  const { book, stop, round } = view;
  const { outfit, places, things, classes } = book;
  const stillOut = useStillOut();
  // As of when the screen was opened: a sheet does not change while it is looked at.
  const [now] = useState(() => Date.now());
  const facts = { book: narrowBook(book), stop, round, outfit, places, things, classes };
  const { count, isOpened } = countAsIfOpened(facts, vehicleId, now);
  const sheet = wrapSheet({
    count,
    stillOut,
    nameOfPlace: (placeId) => places.get(placeId)?.name ?? '',
    outfit,
    jobName: stop.jobName,
    zone: stop.zone,
    now,
    isOpened,
  });
  // Paper is read on another day: with its date.
  return <WrapSheetPage sheet={sheet} when={timeText(now, stop.zone, LONG_AGO)} />;
}

export function WrapSheetScreen({ route }: { readonly route: RouteAt<'sheet'> }) {
  const view = useStop(route.stopId);
  if (view === null) return <Frame title="Unknown stop">This phone does not know this stop any more.</Frame>;
  const { vehicleId } = view;
  if (vehicleId === null) {
    return (
      <Frame title="Wrap sheet">No vehicle is entered yet. Enter one at the desk; then it has a sheet.</Frame>
    );
  }
  return (
    <Frame title="Wrap sheet">
      <div className="not-on-paper">
        <p>One page to tick with a pencil. Its ticks are entered at the desk later, dated as of then.</p>
        <Button kind="main" wide onClick={() => window.print()}>
          Print
        </Button>
      </div>
      <Sheet view={view} vehicleId={vehicleId} />
    </Frame>
  );
}
