// Lines that wait for a thing, a place, a stop, another line, or the owner's word.
import { type FormEvent, type ReactNode, useState } from 'react';
import { Link } from 'react-router';
import type { WaitingGroup } from '#domain/matter.ts';
import type { PlaceKind } from '#domain/place.ts';
import type { ThingKind } from '#domain/thing.ts';
import type { Refused } from '../data/ask.ts';
import { acceptDevice, makeAwaitedPlace, makeAwaitedStop, makeAwaitedThing } from '../data/to-look-at.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { useOutfit } from './parts.tsx';
import { MatterCard, type MatterDeeds } from './to-look-at-card.tsx';
import { showTime, WORD_OF_KIND, WORD_OF_PLACE } from './words.ts';

const WORD_OF_LINE: Readonly<Record<string, string>> = {
  move: 'went to',
  quantity: 'so many went to',
  'hand-count': 'counted in',
  void: 'takes a line back',
  seal: 'sealed',
  unseal: 'seal opened',
  absence: 'said to be missing',
  answer: 'answer of a compartment',
  mark: 'marked',
  open: 'count opened for',
  close: 'count closed',
};

const NAMES_A_PLACE: ReadonlySet<string> = new Set(['move', 'quantity', 'hand-count', 'open']);
const NAMES_A_THING: ReadonlySet<string> = new Set([
  'move',
  'quantity',
  'hand-count',
  'absence',
  'mark',
  'seal',
]);

type Settle = (deed: Promise<Refused | null>) => void;
interface GroupProps extends MatterDeeds {
  readonly group: WaitingGroup;
  readonly settle: Settle;
}

function NamedForm<K extends string>({
  label,
  button,
  kinds,
  onMake,
}: {
  readonly label: string;
  readonly button: string;
  readonly kinds: readonly (readonly [K, string])[];
  readonly onMake: (name: string, kind: K) => void;
}) {
  const [name, setName] = useState('');
  const [first] = kinds;
  const [kind, setKind] = useState<K | undefined>(first?.[0]);
  const make = (event: FormEvent) => {
    event.preventDefault();
    if (name.trim() !== '' && kind !== undefined) onMake(name.trim(), kind);
  };
  return (
    <form className="row-form" onSubmit={make}>
      <Field label={label} value={name} maxLength={300} onChange={(event) => setName(event.target.value)} />
      {kinds.length > 1 ? (
        <label className="field">
          What it is
          <select
            value={kind}
            onChange={(event) => setKind(kinds.find(([key]) => key === event.target.value)?.[0] ?? kind)}
          >
            {kinds.map(([key, word]) => (
              <option key={key} value={key}>
                {word}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <Button type="submit" disabled={name.trim() === ''}>
        {button}
      </Button>
    </form>
  );
}

/** What the lines say decides which kind is likeliest, and so stands first. */
function kindsFor(group: WaitingGroup): readonly (readonly [ThingKind, string])[] {
  const isCounted = group.lines.some(({ kind }) => kind === 'quantity' || kind === 'hand-count');
  const kinds: readonly ThingKind[] = isCounted ? ['counted', 'consumable'] : ['item'];
  return kinds.map((kind) => [kind, WORD_OF_KIND[kind]]);
}

const PLACE_KINDS: readonly PlaceKind[] = ['location', 'hotel', 'store', 'in-transit'];

const MEANS: Readonly<Record<WaitingGroup['waitsFor'], string>> = {
  thing:
    'A phone wrote these of a thing that is not known here: most likely it was made on another device that has not been in the network since. They count from their own time as soon as the thing is here. If nobody will bring it, make it here under the same id; if it is one you have already, make it and merge the two on its page.',
  place:
    'These name a place that is not known here yet. The phone that made the place brings it along by itself; if that phone is gone for good, make the place here.',
  stop: 'These belong to a stop that was made on a phone and has not arrived. That phone sends it by itself when it is in the network again; if it is gone for good, make the stop here.',
  movement:
    'These take back lines that have not arrived. They are let in by themselves when the lines come; until then they change nothing.',
  review:
    'These came from a device that you have removed. Accept them, and they count from their own time; leave them, and they stay here and change nothing.',
};
const VOID_OF_VOID =
  'These take back a taking back. That means nothing: whoever wrote them should scan the thing again. They stay here and change nothing.';

function titleOf({ waitsFor, forId, number, devices }: WaitingGroup): string {
  const lines = number === 1 ? '1 line' : `${number} lines`;
  const takes = number === 1 ? 'that takes' : 'that take';
  if (waitsFor === 'movement') return `${lines} ${takes} back what has not arrived`;
  if (waitsFor !== 'review') return `${lines} for a ${waitsFor} not known here`;
  if (forId === 'void-of-void') return `${lines} ${takes} back a taking back`;
  return `${lines} of a removed device: ${devices.join(', ')}`;
}

function Ways({ group, settle }: GroupProps): ReactNode {
  const { zone } = useOutfit();
  const { waitsFor, forId, firstAt } = group;
  if (waitsFor === 'thing')
    return (
      <NamedForm
        label="Name of the thing"
        button="Make the thing"
        kinds={kindsFor(group)}
        onMake={(name, kind) => settle(makeAwaitedThing(forId, name, kind))}
      />
    );
  if (waitsFor === 'place')
    return (
      <NamedForm
        label="Name of the place"
        button="Make the place"
        kinds={PLACE_KINDS.map((kind) => [kind, WORD_OF_PLACE[kind]] as const)}
        onMake={(name, kind) => settle(makeAwaitedPlace(forId, name, kind))}
      />
    );
  if (waitsFor === 'stop')
    return (
      <NamedForm
        label="Name of the stop"
        button="Make the stop"
        kinds={[['location', 'location']]}
        onMake={(name) => settle(makeAwaitedStop(forId, { name, zone, startsAt: firstAt }))}
      />
    );
  if (waitsFor === 'review' && forId !== 'void-of-void')
    return (
      <p>
        <Button onClick={() => settle(acceptDevice(forId))}>Accept them into the ledger</Button>
      </p>
    );
  return null;
}

function LineText({ line }: { readonly line: WaitingGroup['lines'][number] }) {
  const { zone } = useOutfit();
  const what = [
    line.number === null ? '' : `${line.number} ×`,
    line.thingName ?? line.code ?? (NAMES_A_THING.has(line.kind) ? 'something' : ''),
    WORD_OF_LINE[line.kind] ?? line.kind,
    line.placeName ?? (NAMES_A_PLACE.has(line.kind) ? 'a place not known here' : ''),
  ];
  return (
    <>
      <span className="number">{showTime(line.at, zone)}</span> {what.filter(Boolean).join(' ')}
      {line.note ? <span className="small"> “{line.note}”</span> : null}
      {line.timeUncertain ? <span className="small"> (time not sure)</span> : null}
    </>
  );
}

function LineList({ group }: { readonly group: WaitingGroup }) {
  const more = group.number - group.lines.length;
  const [only, ...others] = group.lines;
  if (only !== undefined && others.length === 0 && more === 0) {
    return (
      <p>
        <LineText line={only} />
      </p>
    );
  }
  return (
    <details>
      <summary>{`The ${group.number} lines`}</summary>
      <ul className="look-lines">
        {group.lines.map((line) => (
          <li key={line.id}>
            <LineText line={line} />
          </li>
        ))}
        {more > 0 ? <li>{`and ${more} earlier ones`}</li> : null}
      </ul>
    </details>
  );
}

export function WaitingCard(props: GroupProps) {
  const { group, onLookedAt } = props;
  const { zone } = useOutfit();
  const since = `received ${showTime(group.receivedAt, zone)}`;
  return (
    <MatterCard
      matter="waiting"
      of={group}
      title={titleOf(group)}
      facts={
        <>
          {`From ${group.devices.join(', ')}; ${since}. `}
          {group.waitsFor === 'review' ? null : <span className="code">{group.forId}</span>}
        </>
      }
      means={group.forId === 'void-of-void' ? VOID_OF_VOID : MEANS[group.waitsFor]}
      onLookedAt={onLookedAt}
    >
      <LineList group={group} />
      <Ways {...props} />
      {group.waitsFor === 'thing' ? (
        <p className="small">
          Or look for it first: <Link to="/find">find a thing</Link>.
        </p>
      ) : null}
    </MatterCard>
  );
}
