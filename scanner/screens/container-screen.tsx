// A case or cart that is back: it moved, and now it is asked for its contents, drawer by drawer. It answers for them itself
// only while it is sealed and somebody says that the seal is unbroken.
import { type FormEvent, useState } from 'react';
import { answerHere, type Fact, type FactOf } from '#domain/count-answers.ts';
import { isOpen } from '#domain/count-compartments.ts';
import { type Chains, chainsOver } from '#domain/count-ground.ts';
import type { Count, CountLine } from '#domain/count-shape.ts';
import { asPlaceId, type PlaceId, type ThingId } from '#domain/ids.ts';
import { type Seal, sealsOf } from '#domain/seal.ts';
import { Button } from '../../web/look/button.tsx';
import { Empty } from '../../web/look/empty.tsx';
import { Field } from '../../web/look/field.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { bookOf, type PhoneBook } from '../store/phone-book.ts';
import { CountLines } from './count-lines.tsx';
import { Frame, Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { useStop } from './use-stop.ts';
import { placeName } from './words.ts';

const placeOf = (line: CountLine): PlaceId | null => line.placeId ?? line.last?.placeId ?? null;

/** The lines of a count that are inside a container, by the place they are in. */
function drawersOf(
  count: Count,
  insideId: PlaceId,
  chains: Chains,
): ReadonlyMap<PlaceId, readonly CountLine[]> {
  const drawers = new Map<PlaceId, CountLine[]>();
  for (const line of count.lines) {
    const placeId = placeOf(line);
    if (placeId === null || !chains.holds(placeId, insideId)) continue;
    const known = drawers.get(placeId);
    if (known === undefined) drawers.set(placeId, [line]);
    else known.push(line);
  }
  return drawers;
}

function sealFacts(book: PhoneBook, count: Count, thingId: ThingId): FactOf<'move'> | null {
  const position = book.standing.positions.get(thingId);
  if (position === undefined) return null;
  return {
    kind: 'move',
    stopId: count.stopId,
    round: count.round,
    note: null,
    check: 'seen',
    why: 'wrap',
    spot: null,
    thingId,
    code: null,
    toId: position.placeId,
    sealUnbroken: true,
  };
}

interface SealProps {
  readonly name: string;
  readonly seal: Seal | undefined;
  readonly unbroken: () => void;
  readonly broken: () => void;
  readonly close: (tie: string | null) => void;
}

function SealPart({ name, seal, unbroken, broken, close }: SealProps) {
  const [tie, setTie] = useState('');
  if (seal !== undefined) {
    return (
      <Notice kind="caution" title={`${name} is sealed${seal.tie === null ? '' : `, ${seal.tie}`}`}>
        <div className="row">
          <Button kind="main" onClick={unbroken}>
            Seal unbroken
          </Button>
          <Button onClick={broken}>It was opened</Button>
        </div>
      </Notice>
    );
  }
  const say = (event: FormEvent) => {
    event.preventDefault();
    close(tie.trim() || null);
  };
  return (
    <details>
      <summary>Seal it</summary>
      <form onSubmit={say}>
        <Field
          label="Number on the tie, or what it is closed with"
          value={tie}
          onChange={(event) => setTie(event.target.value)}
          maxLength={60}
        />
        <Button type="submit">It is sealed with this inside</Button>
      </form>
    </details>
  );
}

export function ContainerScreen({ route }: { readonly route: RouteAt<'container'> }) {
  const { stopId, thingId } = route;
  const view = useStop(stopId);
  const { act, replace } = usePage();
  const count = view?.count ?? null;
  const thing = view?.book.things.get(thingId);
  if (view === null || count === null || thing === undefined)
    return <Frame title="No count here">Go back.</Frame>;
  const { book } = view;
  const insideId = asPlaceId(thingId);
  const drawers = drawersOf(count, insideId, chainsOver(book.places, book.standing));
  const all = [...drawers.values()].flat();
  const context = { stopId, round: count.round, note: null };
  const toCount = () => replace({ at: 'count', stopId });
  const say = async (facts: readonly Fact[], words: string, isLast: boolean) => {
    if ((await act(facts, words)) !== null && isLast) toCount();
  };
  const unbroken = () => {
    const fact = sealFacts(book, count, thingId);
    if (fact !== null) void say([fact], `${thing.name}: seal unbroken.`, true);
  };
  const contents = all.flatMap((line) => (line.kind === 'item' ? [line.thingId] : []));
  return (
    <Frame title={thing.name} figure="what is inside">
      <SealPart
        name={thing.name}
        seal={sealsOf(bookOf(book)).get(thingId)}
        unbroken={unbroken}
        broken={() => void say([{ kind: 'unseal', ...context, thingId }], `${thing.name} was opened.`, false)}
        close={(tie) =>
          void say([{ kind: 'seal', ...context, thingId, contents, tie }], `${thing.name} is sealed.`, false)
        }
      />
      {all.length === 0 ? (
        <Empty title="Nothing is asked for inside.">
          <p>By the ledger it was empty this morning.</p>
        </Empty>
      ) : null}
      {[...drawers].map(([placeId, lines]) => {
        const open = lines.filter((line) => line.state === 'open');
        const name = placeName(book, placeId);
        const others = all.filter((line) => isOpen(line) && !lines.includes(line));
        return (
          <Section key={placeId} title={name} figure={open.length === 0 ? 'answered' : `${open.length} open`}>
            <CountLines label={name} lines={lines} stopId={stopId} book={book} />
            {open.length === 0 ? null : (
              <Button
                kind="main"
                wide
                icon="tick"
                onClick={() =>
                  void say(
                    open.flatMap((line) => answerHere(count, line, 'by-sight')),
                    `${name}: by sight.`,
                    others.length === 0,
                  )
                }
              >
                All of these are here ({open.length})
              </Button>
            )}
          </Section>
        );
      })}
      <Button wide onClick={toCount}>
        Back to the count
      </Button>
    </Frame>
  );
}
