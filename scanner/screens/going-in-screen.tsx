// Gear leaves the vehicle for a stop. Each scan only says where to look later.
import { asThingId } from '#domain/ids.ts';
import { Empty } from '../../web/look/empty.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Frame, Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { ScanPanel } from './scan-panel.tsx';
import { useScanning } from './use-scanning.ts';
import { type StopInView, useStop } from './use-stop.ts';
import { useVerdictWays } from './use-verdict-ways.ts';
import { lastText } from './words.ts';

function WentIn({ view }: { readonly view: StopInView }) {
  const { go } = usePage();
  const { book, stop } = view;
  const inside = [...book.standing.positions.values()]
    .filter((position) => position.placeId === stop.placeId && position.thingId !== asThingId(stop.placeId))
    .sort((a, b) => b.at - a.at);
  if (inside.length === 0)
    return (
      <Empty title="Nothing has gone in yet.">
        <p>Scan it on its way in, or find it and tap. It is fine to scan nothing at all.</p>
      </Empty>
    );
  return (
    <Section title="Gone in" figure={String(inside.length)}>
      <Lines label="Gone in">
        {inside.map((position) => (
          <Line
            key={position.thingId}
            name={book.things.get(position.thingId)?.name ?? 'A thing not known here yet'}
            facts={lastText(book, position, Date.now())}
            onPress={() => go({ at: 'thing', thingId: position.thingId, stopId: stop.id })}
          />
        ))}
      </Lines>
    </Section>
  );
}

export function GoingInScreen({ route }: { readonly route: RouteAt<'going-in'> }) {
  const view = useStop(route.stopId);
  const { replace } = usePage();
  const scanning = useScanning(
    'going-in',
    (mode) => view?.scanContext(mode) ?? null,
    () => replace({ at: 'count', stopId: route.stopId }),
  );
  useVerdictWays(scanning, view, 'going-in');
  if (view === null) return <Frame title="Unknown stop">This phone does not know this stop any more.</Frame>;
  return (
    <Frame title="Going in" figure={view.stop.name}>
      <ScanPanel scanning={scanning} />
      <WentIn view={view} />
    </Frame>
  );
}
