// What the ledger still has at this stop and the count does not ask for: what was taken into a hotel overnight, or brought here by
// somebody else. It holds nothing open, and must not be driven away from.
import { memo, useMemo } from 'react';
import type { Position } from '#domain/book.ts';
import { Line, Lines } from '../../web/look/line.tsx';
import { Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { StopInView } from './use-stop.ts';
import { lastText } from './words.ts';

/** The things at a stop that are no line of its count and were not left there on purpose, the latest first. */
export function stillInOf({ book, stop, count }: StopInView): readonly Position[] {
  const asked = new Set(count?.lines.map((line) => line.thingId));
  return [...book.standing.positions.values()]
    .filter(
      ({ placeId, why, thingId }) => placeId === stop.placeId && why === 'load-in' && !asked.has(thingId),
    )
    .sort((a, b) => b.at - a.at);
}

export const StillIn = memo(function StillIn({ view }: { readonly view: StopInView }) {
  const { go } = usePage();
  const { book, stop } = view;
  const still = useMemo(() => stillInOf(view), [view]);
  if (still.length === 0) return null;
  return (
    <Section
      title={stop.kind === 'hotel' ? 'Still in the room' : 'Still in here'}
      figure={String(still.length)}
    >
      <Lines label="Still in here">
        {still.map((position) => (
          <Line
            key={position.thingId}
            name={book.things.get(position.thingId)?.name ?? 'A thing not known here yet'}
            facts={lastText(book, position, Date.now())}
            state={{ word: 'in here', tone: 'ask', icon: 'open' }}
            onPress={() => go({ at: 'thing', thingId: position.thingId, stopId: stop.id })}
          />
        ))}
      </Lines>
    </Section>
  );
});
