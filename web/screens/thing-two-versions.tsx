// Two versions of the facts of a thing side by side, fact by fact, and which one of each is to be kept.
import { useId } from 'react';
import type { ThingFacts } from '#domain/thing.ts';
import { useClasses } from '../data/names.ts';
import { usePlaces } from '../data/places.ts';
import { differingKeys } from '../data/thing-draft.ts';
import { FIELDS, type FieldKey } from '../data/thing-fields.ts';
import { bodyOf, useOutfit, WideTable } from './parts.tsx';
import { showDate, showMoney } from './words.ts';

export type Side = 'left' | 'right';
export type Chosen = Readonly<Record<string, Side | undefined>>;

const NOTHING = 'nothing';

/** A fact as a person reads it. */
function useShow() {
  const classes = useClasses();
  const places = bodyOf(usePlaces().answer);
  const { currency } = useOutfit();
  const placeName = (id: string) => places?.byId.get(id)?.name ?? 'a place';
  return (key: FieldKey | 'homes', facts: ThingFacts): string => {
    if (key === 'homes') {
      const homes = facts.homes.map(
        ({ way, placeId, number }) =>
          `${number === 1 ? '' : `${number} × `}${placeName(placeId)}${way === 'flying' ? ' when flying' : ''}`,
      );
      return homes.join('; ') || NOTHING;
    }
    const value = facts[key];
    const field = FIELDS.find((row) => row.key === key);
    if (value === null || value === '' || field === undefined) return NOTHING;
    if (typeof value === 'boolean') return value ? 'yes' : 'no';
    const { kind } = field;
    if (kind.is === 'money' && typeof value === 'number') {
      const own = kind.currency === null ? currency : (facts.purchaseCurrency ?? currency);
      return showMoney({ minor: value, currency: own });
    }
    if (kind.is === 'class') return classes.get(String(value))?.name ?? 'a class';
    if (kind.is === 'party') return placeName(String(value));
    if (kind.is === 'thing') return 'its main thing';
    if (kind.is === 'date') return showDate(String(value));
    if (kind.is === 'choice') return kind.options.find(([option]) => option === value)?.[1] ?? String(value);
    return typeof value === 'number' ? new Intl.NumberFormat().format(value) : value;
  };
}

const labelOf = (key: FieldKey | 'homes'): string =>
  key === 'homes' ? 'Lives in' : (FIELDS.find((field) => field.key === key)?.label ?? key);

interface RowProps {
  readonly name: string;
  readonly left: string;
  readonly right: string;
  readonly chosen: Side | undefined;
  readonly titles: readonly [string, string];
  readonly onChoose: (side: Side) => void;
}

function VersionRow({ name, left, right, chosen, titles, onChoose }: RowProps) {
  const group = useId();
  const cell = (side: Side, text: string, title: string) => (
    <td className={chosen === side ? 'version-cell version-chosen' : 'version-cell'}>
      <label>
        <input
          type="radio"
          name={group}
          checked={chosen === side}
          onChange={() => onChoose(side)}
          aria-label={`${name}: ${text} (${title})`}
        />{' '}
        {text}
      </label>
    </td>
  );
  return (
    <tr>
      <th scope="row">{name}</th>
      {cell('left', left, titles[0])}
      {cell('right', right, titles[1])}
    </tr>
  );
}

export function TwoVersions({
  left,
  right,
  titles,
  chosen,
  onChoose,
}: {
  readonly left: ThingFacts;
  readonly right: ThingFacts;
  readonly titles: readonly [string, string];
  readonly chosen: Chosen;
  readonly onChoose: (key: string, side: Side) => void;
}) {
  const show = useShow();
  return (
    <WideTable name="Two versions, fact by fact">
      <table className="versions">
        <thead>
          <tr>
            <th scope="col">Fact</th>
            <th scope="col">{titles[0]}</th>
            <th scope="col">{titles[1]}</th>
          </tr>
        </thead>
        <tbody>
          {differingKeys(left, right).map((key) => (
            <VersionRow
              key={key}
              name={labelOf(key)}
              left={show(key, left)}
              right={show(key, right)}
              chosen={chosen[key]}
              titles={titles}
              onChoose={(side) => onChoose(key, side)}
            />
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}

/**
 * What is chosen before anybody chooses: the side that changed the fact since `base`; nothing where both did, or where no
 * base is known.
 */
export function firstChosen(base: ThingFacts, left: ThingFacts, right: ThingFacts): Chosen {
  const leftChanged = new Set<string>(differingKeys(base, left));
  const rightChanged = new Set<string>(differingKeys(base, right));
  return Object.fromEntries(
    differingKeys(left, right).map((key) => {
      if (leftChanged.has(key) && rightChanged.has(key)) return [key, undefined];
      return [key, leftChanged.has(key) ? 'left' : 'right'];
    }),
  );
}
