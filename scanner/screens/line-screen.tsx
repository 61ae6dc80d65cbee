// One line of a count: here, or what has become of it. Every answer leads back to where the line was pressed.
import { type FormEvent, useState } from 'react';
import { answerHere, answerNumber, type Fact, findAbsent, findPlaced } from '#domain/count-answers.ts';
import type { Count, CountLine } from '#domain/count-shape.ts';
import { livingLines } from '#domain/ledger.ts';
import type { Absence } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import { Button } from '../../web/look/button.tsx';
import { Field } from '../../web/look/field.tsx';
import { FaultyEntry } from './faulty-entry.tsx';
import { Frame, Section } from './frame.tsx';
import { NumberEntry } from './number-entry.tsx';
import { useBook, usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { SaidLines } from './said-lines.tsx';
import { type Somebody, SomebodyEntry } from './somebody-entry.tsx';
import { useStop } from './use-stop.ts';
import { lineFacts, lineName, placeName, SAID_WORDS, stateOf } from './words.ts';

interface LineProps {
  readonly count: Count;
  readonly line: CountLine;
  readonly say: (facts: readonly Fact[], words: string) => void;
}

function Here({ count, line, say }: LineProps) {
  const begins = line.found ?? Math.max(0, line.expected - line.absent);
  if (line.kind !== 'item') {
    return (
      <>
        <Button
          kind="main"
          wide
          icon="tick"
          onClick={() =>
            say(
              answerHere(count, line, 'by-number'),
              `${line.name}: ${line.expected === 1 ? 'here' : `all ${line.expected} here`}.`,
            )
          }
        >
          {line.expected === 1 ? 'It is here' : `All ${line.expected} are here`}
        </Button>
        <details open={line.state === 'short'}>
          <summary>Another number</summary>
          <NumberEntry
            key={begins}
            label={`How many ${line.name}`}
            begins={begins}
            say={(number) => `${number} of ${line.expected} are here`}
            onSay={(number) => say(answerNumber(count, line, number), `${line.name}: ${number} here.`)}
          />
        </details>
      </>
    );
  }
  return (
    <Button
      kind="main"
      wide
      icon="tick"
      onClick={() => say(answerHere(count, line, 'seen'), `${line.name}: seen aboard.`)}
    >
      Aboard, seen
    </Button>
  );
}

function Absences({ count, line, say }: LineProps) {
  const gap = Math.max(1, line.expected - (line.found ?? 0));
  const number = line.kind === 'item' ? '' : `${gap} `;
  const button = (finding: Absence, label: string) => (
    <Button
      wide
      {...(finding === 'not-found' ? { icon: 'missing' as const } : {})}
      onClick={() =>
        say([findAbsent(count, line, finding)], `${line.name}: ${number}${SAID_WORDS[finding]}.`)
      }
    >
      {number === '' ? label : `${number}${label.toLowerCase()}`}
    </Button>
  );
  return (
    <>
      {button('not-found', 'Not found yet')}
      {button('did-not-come', 'Did not come today')}
      {button('not-ours', 'Not ours')}
    </>
  );
}

function Placed({ count, line, say, stop }: LineProps & { readonly stop: Stop }) {
  const [asks, setAsks] = useState<'nothing' | 'who' | 'where'>('nothing');
  const [spot, setSpot] = useState('');
  const withSomebody = (somebody: Somebody) => {
    const known = 'partyId' in somebody;
    const toId = known ? somebody.partyId : stop.placeId;
    const placing = {
      why: 'with-somebody',
      toId,
      spot: known ? null : `with ${somebody.name}`,
      note: null,
    } as const;
    say(findPlaced(count, line, placing), `${line.name} is with ${somebody.name}.`);
  };
  const left = (event: FormEvent) => {
    event.preventDefault();
    const placing = {
      why: 'left-on-purpose',
      toId: stop.placeId,
      spot: spot.trim() || null,
      note: null,
    } as const;
    say(findPlaced(count, line, placing), `${line.name} is left on purpose.`);
  };
  return (
    <>
      <Button
        wide
        icon="person"
        aria-expanded={asks === 'who'}
        onClick={() => setAsks(asks === 'who' ? 'nothing' : 'who')}
      >
        With somebody
      </Button>
      {asks === 'who' ? <SomebodyEntry onSay={withSomebody} /> : null}
      <Button
        wide
        icon="place"
        aria-expanded={asks === 'where'}
        onClick={() => setAsks(asks === 'where' ? 'nothing' : 'where')}
      >
        Left on purpose
      </Button>
      {asks === 'where' ? (
        <form className="card" onSubmit={left}>
          <Field
            label="Where exactly"
            value={spot}
            onChange={(event) => setSpot(event.target.value)}
            maxLength={300}
            placeholder="rigged on the rail"
          />
          <Button type="submit">It stays here</Button>
        </form>
      ) : null}
    </>
  );
}

export function LineScreen({ route }: { readonly route: RouteAt<'line'> }) {
  const { stopId, thingId, placeId } = route;
  const view = useStop(stopId);
  const book = useBook();
  const { act, back } = usePage();
  const count = view?.count ?? null;
  const line = count?.lines.find((known) => known.thingId === thingId && known.placeId === placeId);
  if (view === null || count === null || line === undefined) {
    return <Frame title="Not asked for">This thing is no line of the count (any more).</Frame>;
  }
  const say = async (facts: readonly Fact[], words: string) => {
    const lines = await act(facts, words);
    if (lines !== null) back();
  };
  const given = { count, line, say: (facts: readonly Fact[], words: string) => void say(facts, words) };
  const state = stateOf(line);
  const own = livingLines([...book.lines.values()]).filter(
    (known) => 'thingId' in known && known.thingId === thingId && known.stopId === stopId,
  );
  return (
    <Frame title={lineName(line)}>
      <p className="lead">
        <span className={`tone-${state.tone}`}>{state.word}</span>
        {line.said?.note ? ` · ${line.said.note}` : ''}
      </p>
      <p>{lineFacts(book, line, Date.now())}</p>
      <p className="small">
        {line.roomId === null ? 'This morning' : 'It belongs'} in{' '}
        {placeName(book, line.placeId ?? line.compartmentId)}.
      </p>
      <div className="answers">
        <Here {...given} />
        <Absences {...given} />
        <Placed {...given} stop={view.stop} />
      </div>
      <FaultyEntry thing={{ id: line.thingId, name: line.name }} stopId={stopId} faulty={line.faulty} />
      {own.length === 0 ? null : (
        <Section title="Said of it here">
          <SaidLines lines={own} />
        </Section>
      )}
    </Frame>
  );
}
