// One compartment by sight: first what went out of it today, by name; then the rest, beside its picture. One tap answers for
// exactly the things that are named here, and leads to the next compartment that waits.
import { useState } from 'react';
import { answerBySight, sightPage } from '#domain/by-sight.ts';
import { answerNotOpened } from '#domain/count-answers.ts';
import type { Count } from '#domain/count-shape.ts';
import type { PlaceId } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { CountLines } from './count-lines.tsx';
import { Frame, Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { useStop } from './use-stop.ts';
import { placeName } from './words.ts';

/** The next compartment that waits after this one, going round; null when none does. */
export function nextWaiting(count: Count, placeId: PlaceId): PlaceId | null {
  const { compartments } = count;
  const at = compartments.findIndex((known) => known.placeId === placeId);
  const inTurn = [...compartments.slice(at + 1), ...compartments.slice(0, Math.max(at, 0))];
  return inTurn.find(({ answer }) => answer === null)?.placeId ?? null;
}

function Pictures({ ids, name }: { readonly ids: readonly string[]; readonly name: string }) {
  const [gone, setGone] = useState<readonly string[]>([]);
  const shown = ids.filter((id) => !gone.includes(id));
  if (shown.length === 0) return null;
  return (
    <figure className="picture">
      {shown.map((id) => (
        <img
          key={id}
          src={`/api/pictures/${id}`}
          alt={`${name}, packed as it should be`}
          onError={() => setGone((before) => [...before, id])}
        />
      ))}
      <figcaption className="small">As it should look.</figcaption>
    </figure>
  );
}

export function CompartmentScreen({ route }: { readonly route: RouteAt<'compartment'> }) {
  const { stopId, placeId } = route;
  const view = useStop(stopId);
  const { act, replace, back } = usePage();
  const [busy, setBusy] = useState(false);
  const count = view?.count ?? null;
  if (view === null || count === null)
    return <Frame title="No count here">Go back and open the count.</Frame>;
  const page = sightPage(count, placeId);
  const name = placeName(view.book, placeId);
  const named = page.wentOut.length + page.rest.length;
  const answer = async (facts: ReturnType<typeof answerBySight>, words: string) => {
    if (busy) return;
    setBusy(true);
    const lines = await act(facts, words);
    setBusy(false);
    if (lines === null) return;
    const next = nextWaiting(count, placeId);
    if (next === null) replace({ at: 'count', stopId });
    else replace({ at: 'compartment', stopId, placeId: next });
  };
  const wentOut = page.wentOut.some(({ roomId }) => roomId !== null) ? 'Went out' : 'Went out today';
  const allHere = named === 0 ? 'Looked: nothing else is missing' : `All of these are here (${named})`;
  return (
    <Frame title={name} figure={named === 0 ? 'answered' : `${named} open`}>
      {page.wentOut.length === 0 ? null : (
        <Section title={wentOut} figure={String(page.wentOut.length)}>
          <CountLines label={wentOut} lines={page.wentOut} stopId={stopId} book={view.book} />
        </Section>
      )}
      <Pictures ids={view.book.places.get(placeId)?.pictureIds ?? []} name={name} />
      {page.rest.length === 0 ? null : (
        <Section
          title={page.wentOut.length === 0 ? 'Should be here' : 'And the rest'}
          figure={String(page.rest.length)}
        >
          <CountLines label="Should be here" lines={page.rest} stopId={stopId} book={view.book} />
        </Section>
      )}
      <div className="answers">
        <Button
          kind="main"
          wide
          icon="tick"
          disabled={busy}
          onClick={() => void answer(answerBySight(count, placeId), `${name}: by sight.`)}
        >
          {allHere}
        </Button>
        <Button
          wide
          disabled={busy}
          onClick={() => void answer([answerNotOpened(count, placeId)], `${name}: not opened.`)}
        >
          Not opened
        </Button>
        <Button wide onClick={back}>
          Later
        </Button>
      </div>
      {page.settled.length === 0 ? null : (
        <Section title="Answered already" figure={String(page.settled.length)}>
          <CountLines label="Answered already" lines={page.settled} stopId={stopId} book={view.book} />
        </Section>
      )}
    </Frame>
  );
}
