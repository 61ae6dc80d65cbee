// Which list of a place is shown, with how much each has, and the words that its lines must have.
import { useEffect, useRef, useState } from 'react';
import type { PlaceNode, PlaceSums } from '#domain/where.ts';
import { LISTS, type ListName, type WhereAddress } from './where-address.ts';
import { showNumber } from './words.ts';

const WORD_OF_LIST: Readonly<Record<ListName, string>> = {
  here: 'Right here',
  inside: 'With all inside',
  open: 'Open',
  stray: 'To put away',
  lives: 'Lives here',
  missing: 'Missing from it',
};
// Long enough not to ask at every letter, short enough not to be waited for.
const TYPING_PAUSE_MS = 120;

const numberOf = (list: ListName, place: PlaceNode, sums: PlaceSums | null): number | null => {
  if (list === 'here') return place.here;
  if (sums === null) return null;
  return sums[list === 'inside' ? 'here' : list];
};

function WordsField({ address }: { readonly address: WhereAddress }) {
  const [text, setText] = useState(address.text);
  const pause = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => setText(address.text), [address.text]);
  useEffect(() => () => clearTimeout(pause.current), []);
  return (
    <input
      type="search"
      aria-label="Only lines with these words"
      placeholder="Only lines with these words"
      maxLength={200}
      value={text}
      onChange={({ target: { value } }) => {
        setText(value);
        clearTimeout(pause.current);
        pause.current = setTimeout(() => address.setText(value), TYPING_PAUSE_MS);
      }}
    />
  );
}

export function PlaceFilter({
  place,
  sums,
  list,
  address,
}: {
  readonly place: PlaceNode;
  readonly sums: PlaceSums | null;
  readonly list: ListName;
  readonly address: WhereAddress;
}) {
  return (
    <>
      <p className="only-on-paper strong">
        {WORD_OF_LIST[list]}
        {address.text === '' ? '' : `, with the words “${address.text}”`}
      </p>
      <div className="place-filter not-on-paper">
        <fieldset className="filters">
          <legend className="unseen">Which list</legend>
          {LISTS.map((name) => {
            const number = numberOf(name, place, sums);
            return (
              <button
                key={name}
                type="button"
                aria-pressed={name === list}
                onClick={() => address.setList(name)}
              >
                {WORD_OF_LIST[name]}{' '}
                <span className={(name === 'open' || name === 'missing') && number ? 'tone-bad' : ''}>
                  {number === null ? '…' : showNumber(number)}
                </span>
              </button>
            );
          })}
        </fieldset>
        <WordsField address={address} />
      </div>
    </>
  );
}
