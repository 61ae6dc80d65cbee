// What never holds a count open: consumables to buy, and things aboard outside their home.
import type { Count } from '#domain/count-shape.ts';
import { Empty } from '../../web/look/empty.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Frame, Section } from './frame.tsx';
import { useBook, usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { useStop } from './use-stop.ts';
import { placeName } from './words.ts';

function Tidy({ count }: { readonly count: Count }) {
  const book = useBook();
  const { act, go } = usePage();
  const putHome = (line: Count['misplaced'][number]) => {
    const thing = book.things.get(line.thingId);
    if (thing?.kind !== 'item') return go({ at: 'thing', thingId: line.thingId, stopId: count.stopId });
    const { stopId, round } = count;
    const words = `${line.name} is in ${placeName(book, line.homePlaceId)}.`;
    const evidence = { check: 'seen', why: 'tidy', spot: null, thingId: line.thingId, code: null } as const;
    const context = { stopId, round, note: null };
    void act([{ kind: 'move', ...context, ...evidence, toId: line.homePlaceId, sealUnbroken: false }], words);
  };
  return (
    <Section title="Tidy" figure={String(count.misplaced.length)}>
      {count.misplaced.length === 0 ? <p>Everything aboard is where it lives.</p> : null}
      <Lines label="Tidy">
        {count.misplaced.map((line) => (
          <Line
            key={`${line.thingId} ${line.placeId}`}
            name={line.name}
            facts={`in ${placeName(book, line.placeId)}, lives in ${placeName(book, line.homePlaceId)}`}
            state={{ word: 'put away', tone: 'plain' }}
            onPress={() => putHome(line)}
          />
        ))}
      </Lines>
    </Section>
  );
}

export function ListsScreen({ route }: { readonly route: RouteAt<'lists'> }) {
  const view = useStop(route.stopId);
  const { go } = usePage();
  const count = view?.count ?? null;
  if (count === null) {
    return (
      <Frame title="Refill and tidy">
        <Empty title="No count is open here.">
          <p>The two lists are made from a count.</p>
        </Empty>
      </Frame>
    );
  }
  return (
    <Frame title="Refill and tidy">
      <Section title="Refill" figure={String(count.refill.length)}>
        {count.refill.length === 0 ? <p>Nothing is below what should be aboard.</p> : null}
        <Lines label="Refill">
          {count.refill.map((line) => (
            <Line
              key={line.thingId}
              name={line.name}
              facts={line.unit ?? ''}
              state={{ word: `${line.number} of ${line.par}`, tone: 'ask' }}
              onPress={() => go({ at: 'thing', thingId: line.thingId, stopId: count.stopId })}
            />
          ))}
        </Lines>
      </Section>
      <Tidy count={count} />
    </Frame>
  );
}
