// "Found": back where it lives, or where it is now. Several lines at once go home, each to its own.
import './place-move.css';
import { type FormEvent, useState } from 'react';
import type { Fact } from '#domain/count-answers.ts';
import {
  allBack,
  countedBack,
  foundAt,
  foundAtHome,
  givenBack,
  isMissingPieces,
} from '#domain/found-again.ts';
import type { OutLine } from '#domain/out-line.ts';
import { chainFrom, type PlaceNode, type Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { Field } from '../look/field.tsx';
import { PlaceChoice } from './place-choice.tsx';

export interface StepProps {
  readonly lines: readonly OutLine[];
  readonly places: Places | null;
  readonly onClose: () => void;
}
export type SayFacts = (facts: readonly Fact[], words: string) => void;

const pathOf = (placeId: string | null, places: Places | null): string =>
  placeId === null || places === null
    ? ''
    : chainFrom(placeId, places.byId)
        .map(({ name }) => name)
        .join(' in ');

function Elsewhere({
  places,
  onChoose,
}: {
  readonly places: Places;
  readonly onChoose: (place: PlaceNode) => void;
}) {
  const [chosen, setChosen] = useState<PlaceNode | null>(null);
  return (
    <>
      <PlaceChoice
        label="Or where it is now"
        places={places}
        chosen={chosen}
        error={null}
        onChoose={setChosen}
      />
      <Button disabled={chosen === null} onClick={() => (chosen === null ? undefined : onChoose(chosen))}>
        {chosen === null ? 'It is there' : `It is in ${chosen.name}`}
      </Button>
    </>
  );
}

function CountedPieces({
  line,
  places,
  onFacts,
}: {
  readonly line: OutLine;
  readonly places: Places | null;
  readonly onFacts: SayFacts;
}) {
  const [text, setText] = useState(String(allBack(line)));
  const number = /^\d{1,7}$/.test(text.trim()) ? Number(text) : null;
  const say = (event: FormEvent) => {
    event.preventDefault();
    if (number !== null) onFacts(countedBack(line, number), `${line.name}: ${number} counted.`);
  };
  if (line.placeId === null) {
    return (
      <Button kind="main" onClick={() => onFacts(countedBack(line, 0), `${line.name}: found.`)}>
        They are back
      </Button>
    );
  }
  return (
    <form onSubmit={say}>
      <Field
        label={`How many are in ${pathOf(line.placeId, places)} now`}
        hint={`${line.number} missing so far. This writes a hand count.`}
        inputMode="numeric"
        value={text}
        error={number === null ? 'Give a whole number, 0 or more.' : undefined}
        onChange={(event) => setText(event.target.value)}
      />
      <Button kind="main" type="submit" disabled={number === null}>
        {number === null ? 'So many are here' : `${number} are here`}
      </Button>
    </form>
  );
}

function OneFound({
  line,
  places,
  onFacts,
}: {
  readonly line: OutLine;
  readonly places: Places | null;
  readonly onFacts: SayFacts;
}) {
  const home = foundAtHome(line);
  const back = givenBack(line);
  const choose = (place: PlaceNode) =>
    onFacts(foundAt(line, { toId: place.id, spot: null }), `${line.name} is in ${place.name}.`);
  if (isMissingPieces(line)) return <CountedPieces line={line} places={places} onFacts={onFacts} />;
  return (
    <>
      <div className="out-places">
        {line.why === 'overdue' || home === null ? null : (
          <Button kind="main" icon="back-aboard" onClick={() => onFacts(home, `${line.name} is back home.`)}>
            {`Back home: ${pathOf(line.homeId, places)}`}
          </Button>
        )}
        {back === null ? null : (
          <Button
            {...(line.why === 'overdue' ? { kind: 'main' as const } : {})}
            onClick={() => onFacts(back, `${line.name} went back to its owner.`)}
          >
            {`Given back to ${places?.byId.get(line.ownerPlaceId ?? '')?.name ?? 'its owner'}`}
          </Button>
        )}
      </div>
      {places === null ? null : <Elsewhere places={places} onChoose={choose} />}
    </>
  );
}

function ManyFound({ lines, onFacts }: { readonly lines: readonly OutLine[]; readonly onFacts: SayFacts }) {
  const ways = lines.map((line) => ({ line, facts: foundAtHome(line) }));
  const homeless = ways.filter(({ facts }) => facts === null).map(({ line }) => line.name);
  const facts = ways.flatMap((way) => way.facts ?? []);
  const going = lines.length - homeless.length;
  return (
    <>
      <p>{`${going} of ${lines.length} go back where they live; counted gear is counted in full.`}</p>
      {homeless.length > 0 ? (
        <p>{`Nobody said where these live, so they stay on the list: ${homeless.join(', ')}.`}</p>
      ) : null}
      <Button
        kind="main"
        icon="back-aboard"
        disabled={going === 0}
        onClick={() => onFacts(facts, `${going} found.`)}
      >
        All of them are back home
      </Button>
    </>
  );
}

export function FoundDialog({ lines, places, onClose, onFacts }: StepProps & { readonly onFacts: SayFacts }) {
  const [line] = lines;
  if (line === undefined) return null;
  const title = lines.length === 1 ? `Found: ${line.name}` : `Found: ${lines.length} lines`;
  return (
    <Dialog open title={title} onClose={onClose} ways={<Button onClick={onClose}>Leave it</Button>}>
      {lines.length === 1 ? (
        <OneFound line={line} places={places} onFacts={onFacts} />
      ) : (
        <ManyFound lines={lines} onFacts={onFacts} />
      )}
    </Dialog>
  );
}
