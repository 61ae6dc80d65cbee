// One thing by itself: where it is, where it lives, and what can be said of it here.
import type { Fact } from '#domain/count-answers.ts';
import { homeAboard } from '#domain/count-answers.ts';
import { drivingHomesOf } from '#domain/count-beside.ts';
import { chainsOver } from '#domain/count-ground.ts';
import type { PlaceId, StopId } from '#domain/ids.ts';
import { livingLines } from '#domain/ledger.ts';
import { withMarks } from '#domain/marks.ts';
import { showTag, tagCodeSchema } from '#domain/tag-code.ts';
import type { Thing } from '#domain/thing.ts';
import { Button } from '../../web/look/button.tsx';
import { vehicleOfStop } from '../store/vehicles.ts';
import { FaultyEntry, RushesEntry } from './faulty-entry.tsx';
import { Frame, Section } from './frame.tsx';
import { NumberEntry } from './number-entry.tsx';
import { useBook, usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { SaidLines } from './said-lines.tsx';
import { countBy, latestRound } from './use-stop.ts';
import { lastText, placeName, whoseWord } from './words.ts';

const showCode = (code: string): string => {
  const tag = tagCodeSchema.safeParse(code);
  return tag.success ? showTag(tag.data) : code;
};

/** An item: back aboard, or in, on one tap. */
function ItemWays({ thing, stopId }: { readonly thing: Thing; readonly stopId: StopId | null }) {
  const book = useBook();
  const { act, go } = usePage();
  const stop = stopId === null ? undefined : book.stops.get(stopId);
  const vehicleId = vehicleOfStop(book, stopId);
  const round = stopId === null ? 0 : latestRound(book, stopId);
  const count = stop === undefined || round === 0 ? null : countBy(book, stop, round);
  const line = count?.lines.find((known) => known.thingId === thing.id);
  const move = (why: 'wrap' | 'load-in', toId: PlaceId): Fact => {
    const context = { stopId, round: count === null || why === 'load-in' ? null : round, note: null };
    return {
      kind: 'move',
      ...context,
      check: 'seen',
      why,
      spot: null,
      thingId: thing.id,
      code: null,
      toId,
      sealUnbroken: false,
    };
  };
  const aboard = () => {
    if (vehicleId === null) return;
    const toId = homeAboard(thing, vehicleId, chainsOver(book.places, book.standing));
    void act([move('wrap', toId)], `${thing.name}: aboard, ${placeName(book, toId)}.`);
  };
  return (
    <div className="answers">
      {line !== undefined && stopId !== null && count?.closed === null ? (
        <Button
          kind="main"
          wide
          onClick={() => go({ at: 'line', stopId, thingId: thing.id, placeId: line.placeId })}
        >
          Its line in the count
        </Button>
      ) : null}
      <Button wide icon="back-aboard" disabled={vehicleId === null} onClick={aboard}>
        It is aboard
      </Button>
      {stop === undefined ? null : (
        <Button
          wide
          icon="going-in"
          onClick={() => void act([move('load-in', stop.placeId)], `${thing.name}: gone in.`)}
        >
          It goes in
        </Button>
      )}
    </div>
  );
}

/** Counted gear and consumables: so many are here, so many go in, so many come back. */
function NumberWays({ thing, stopId }: { readonly thing: Thing; readonly stopId: StopId | null }) {
  const book = useBook();
  const { act } = usePage();
  const stop = stopId === null ? undefined : book.stops.get(stopId);
  const levels = [...(book.standing.levels.get(thing.id) ?? [])];
  const homes = drivingHomesOf(thing);
  const inStop = stop === undefined ? 0 : (book.standing.levels.get(thing.id)?.get(stop.placeId) ?? 0);
  const context = { stopId, round: null, note: null };
  const handCount = (placeId: PlaceId, number: number): Fact => {
    return { kind: 'hand-count', ...context, thingId: thing.id, toId: placeId, number, check: 'by-number' };
  };
  const send = (number: number, fromId: PlaceId, toId: PlaceId, why: 'wrap' | 'load-in'): Fact => {
    return {
      kind: 'quantity',
      ...context,
      check: 'by-number',
      why,
      spot: null,
      thingId: thing.id,
      number,
      fromId,
      toId,
    };
  };
  const placeIds = [...new Set([...levels.map(([placeId]) => placeId), ...homes])];
  const fixed = placeIds.filter((placeId) => placeId !== stop?.placeId);
  const [homeId] = fixed;
  return (
    <>
      {stop === undefined || inStop <= 0 || homeId === undefined ? null : (
        <NumberEntry
          key={`back ${inStop}`}
          label="Back aboard"
          begins={inStop}
          min={1}
          say={(number) => `${number} are back in ${placeName(book, homeId)}`}
          onSay={(number) =>
            void act([send(number, stop.placeId, homeId, 'wrap')], `${number} × ${thing.name}: back aboard.`)
          }
        />
      )}
      {fixed.map((placeId) => {
        const number = book.standing.levels.get(thing.id)?.get(placeId) ?? 0;
        const name = placeName(book, placeId);
        return (
          <Section key={placeId} title={name} figure={`${number} ${thing.unit ?? ''}`}>
            {stop === undefined || number <= 0 ? null : (
              <NumberEntry
                key={`in ${number}`}
                label="Going in"
                begins={1}
                min={1}
                say={(some) => `${some} go in`}
                onSay={(some) =>
                  void act(
                    [send(some, placeId, stop.placeId, 'load-in')],
                    `${some} × ${thing.name}: gone in.`,
                  )
                }
              />
            )}
            <details>
              <summary>Count them</summary>
              <NumberEntry
                key={`here ${number}`}
                label={`How many are in ${name}`}
                begins={Math.max(0, number)}
                say={(here) => `${here} are here`}
                onSay={(here) => void act([handCount(placeId, here)], `${thing.name}: ${here} in ${name}.`)}
              />
            </details>
          </Section>
        );
      })}
    </>
  );
}

export function ThingScreen({ route }: { readonly route: RouteAt<'thing'> }) {
  const book = useBook();
  const known = book.things.get(route.thingId);
  if (known === undefined)
    return <Frame title="Unknown thing">This phone does not know this thing yet.</Frame>;
  const lines = livingLines([...book.lines.values()]).filter(
    (line) => 'thingId' in line && line.thingId === known.id,
  );
  const thing = withMarks(known, lines);
  const position = book.standing.positions.get(thing.id) ?? null;
  const facts = [whoseWord(thing.whose), thing.maker, thing.model, thing.serial].filter(Boolean).join(' · ');
  const homes = drivingHomesOf(thing).map((placeId) => placeName(book, placeId));
  return (
    <Frame title={thing.name}>
      {facts === '' ? null : <p>{facts}</p>}
      {thing.kind === 'item' ? (
        <p className="lead">{lastText(book, position, Date.now()) || 'Nowhere yet'}</p>
      ) : null}
      {homes.length === 0 ? null : <p className="small">Lives in {homes.join(', ')}.</p>}
      {thing.codes.length === 0 ? null : (
        <p className="small">
          Tag <span className="code">{thing.codes.map(showCode).join(', ')}</span>
        </p>
      )}
      {thing.kind === 'item' ? (
        <ItemWays thing={thing} stopId={route.stopId} />
      ) : (
        <NumberWays thing={thing} stopId={route.stopId} />
      )}
      <FaultyEntry thing={thing} stopId={route.stopId} faulty={thing.faulty} />
      <RushesEntry thing={thing} stopId={route.stopId} />
      {lines.length === 0 ? null : (
        <Section title="Said of it">
          <SaidLines lines={lines.slice(-20)} />
        </Section>
      )}
    </Frame>
  );
}
