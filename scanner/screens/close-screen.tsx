// Before driving off: what it closes with, said plainly, and the places to look once more.
import { useEffect, useState } from 'react';
import { closingOf } from '#domain/count-answers.ts';
import { Button } from '../../web/look/button.tsx';
import { CountLines } from './count-lines.tsx';
import { Frame, Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { StillIn } from './still-in.tsx';
import { SumsView } from './sums-view.tsx';
import { useStop } from './use-stop.ts';
import { countText } from './words.ts';

export function CloseScreen({ route }: { readonly route: RouteAt<'close'> }) {
  const { stopId } = route;
  const view = useStop(stopId);
  const { act, replace, sync } = usePage();
  const [busy, setBusy] = useState(false);
  // What others said meanwhile should be in what is closed, where the network allows it.
  useEffect(() => sync.wake(), [sync]);
  const count = view?.count ?? null;
  if (view === null || count === null)
    return <Frame title="No count here">Go back and open the count.</Frame>;
  if (!count.mayClose) {
    return (
      <Frame title="Not yet">
        <p>A line or a compartment has no answer. Somebody may have taken one back just now.</p>
        <Button kind="main" wide onClick={() => replace({ at: 'count', stopId })}>
          Back to the count
        </Button>
      </Frame>
    );
  }
  const absent = count.lines.filter((line) => line.state === 'absent');
  const away = count.lines.filter((line) => line.state === 'away');
  const missing = count.sums.notFound;
  const close = async () => {
    setBusy(true);
    const lines = await act([closingOf(count)], `The count of ${view.stop.name} is closed.`);
    setBusy(false);
    if (lines !== null) replace({ at: 'closed', stopId });
  };
  const { lastLook } = view.book.outfit;
  return (
    <Frame title="Close the count" figure={view.stop.name}>
      {missing > 0 ? (
        <div className="loud" role="alert">
          <p className="loud-number">{missing}</p>
          <p>not found yet. It closes like this, and stays on the list until it is back.</p>
        </div>
      ) : (
        <div className="loud loud-good" role="status">
          <p>{count.allAboard ? 'All aboard' : 'Every line has an answer'}</p>
        </div>
      )}
      {absent.length === 0 ? null : (
        <CountLines label="Absent" lines={absent} stopId={stopId} book={view.book} />
      )}
      <StillIn view={view} />
      <SumsView sums={count.sums} />
      {count.sums.notOpened === 0 ? null : (
        <p>
          {countText(count.sums.notOpened, 'compartment was', 'compartments were')} not opened, so this is not
          “all aboard”.
        </p>
      )}
      {lastLook.length === 0 ? null : (
        <Section title="Last look" figure="before driving off">
          <ul className="last-look">
            {lastLook.map((place) => (
              <li key={place}>{place}</li>
            ))}
          </ul>
        </Section>
      )}
      <div className="answers">
        <Button kind="main" wide icon="count" disabled={busy} onClick={() => void close()}>
          {missing > 0
            ? `Looked everywhere: close with ${missing} not found yet`
            : 'Looked everywhere: close'}
        </Button>
        <Button wide onClick={() => replace({ at: 'count', stopId })}>
          Keep looking
        </Button>
      </div>
      {away.length === 0 ? null : (
        <Section title="Elsewhere on purpose" figure={String(away.length)}>
          <CountLines label="Elsewhere on purpose" lines={away} stopId={stopId} book={view.book} />
        </Section>
      )}
    </Frame>
  );
}
