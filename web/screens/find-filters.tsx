// What narrows the search, as chips and choices. All of it stands in the address.
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { FILTERS, type FilterName } from '../data/finding.ts';
import { useClasses } from '../data/names.ts';
import { usePlaces } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { bodyOf } from './parts.tsx';
import { WORD_OF_WHOSE } from './words.ts';

/** A chip: one value of one filter. Chips of one filter exclude each other. */
const CHIPS: readonly (readonly [name: FilterName, value: string, words: string])[] = [
  ['kind', 'item', 'items'],
  ['kind', 'counted', 'counted gear'],
  ['kind', 'consumable', 'consumables'],
  ['kind', 'place', 'places'],
  ['matter', 'faulty', 'faulty'],
  ['matter', 'not-found', 'not found yet'],
  ['matter', 'overdue', 'overdue'],
  ['writtenOff', 'true', 'written off'],
];
const ORDERS = [
  ['', 'what fits best'],
  ['name', 'name'],
  ['value', 'dearest first'],
  ['put-down', 'put down last'],
] as const;

function ChoiceOf({
  label,
  name,
  options,
}: {
  readonly label: string;
  readonly name: FilterName | 'order';
  readonly options: readonly (readonly [value: string, words: string])[];
}) {
  const [query, setQuery] = useSearchParams();
  const value = query.get(name) ?? '';
  // An address that somebody sent may name what is gone; it is shown, so that it can be taken off.
  const isKnown = options.some(([known]) => known === value);
  return (
    <label className="find-choice">
      {label}
      <select
        value={value}
        className={value === '' ? '' : 'is-set'}
        onChange={(event) => setQuery(withFilter(query, name, event.target.value))}
      >
        {options.map(([key, words]) => (
          <option key={key} value={key}>
            {words}
          </option>
        ))}
        {isKnown ? null : <option value={value}>not known here</option>}
      </select>
    </label>
  );
}

/** The address with the filter set, or taken off with ''; the leafing begins again. */
function withFilter(query: URLSearchParams, name: FilterName | 'order', value: string): URLSearchParams {
  const next = new URLSearchParams(query);
  next.delete('after');
  if (value === '') next.delete(name);
  else next.set(name, value);
  return next;
}

/** As the stylesheet has it: there the filters are folded until somebody wants them. */
const isNarrowScreen = () => window.matchMedia('(max-width: 44rem)').matches;
const ANY = ['', 'any'] as const;

export function FindFilters() {
  const [query, setQuery] = useSearchParams();
  const classes = [...useClasses().values()].sort((a, b) => a.name.localeCompare(b.name));
  const places = bodyOf(usePlaces().answer);
  // Cases are many; the ones who hold gear are chosen where they are, in the tree.
  const fixed = [...(places?.byId.values() ?? [])]
    .filter(({ kind, things }) => kind !== 'container' && kind !== 'compartment' && things > 0)
    .sort((a, b) => a.name.localeCompare(b.name));
  const asked = query.get('place');
  const chosen = asked === null ? undefined : places?.byId.get(asked);
  const around = chosen === undefined || fixed.includes(chosen) ? fixed : [chosen, ...fixed];
  const isSet = FILTERS.some((name) => query.has(name));
  const [isOpen, setOpen] = useState(!isNarrowScreen() || isSet);
  const clear = () => {
    const next = new URLSearchParams(query);
    for (const name of [...FILTERS, 'after']) next.delete(name);
    setQuery(next);
  };
  return (
    <details
      className="find-filters not-on-paper"
      open={isOpen}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>{isSet ? 'Narrowed' : 'Narrow it'}</summary>
      <fieldset className="filters">
        <legend className="unseen">Only</legend>
        {CHIPS.map(([name, value, words]) => {
          const isOn = query.get(name) === value;
          return (
            <button
              key={words}
              type="button"
              aria-pressed={isOn}
              onClick={() => setQuery(withFilter(query, name, isOn ? '' : value))}
            >
              {words}
            </button>
          );
        })}
      </fieldset>
      <div className="find-choices">
        <ChoiceOf label="Whose" name="whose" options={[ANY, ...Object.entries(WORD_OF_WHOSE)]} />
        <ChoiceOf
          label="Class"
          name="class"
          options={[ANY, ...classes.map(({ id, name }) => [id, name] as const)]}
        />
        <ChoiceOf
          label="Anywhere in"
          name="place"
          options={[ANY, ...around.map(({ id, name }) => [id, name] as const)]}
        />
        <ChoiceOf label="Sorted by" name="order" options={ORDERS} />
        {isSet ? (
          <Button kind="quiet" onClick={clear}>
            Take all filters off
          </Button>
        ) : null}
      </div>
    </details>
  );
}
