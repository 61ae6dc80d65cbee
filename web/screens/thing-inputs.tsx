// The inputs of a thing's form that are more than a line of text: choices, places as a tree, classes, other things.
import { type ReactNode, useDeferredValue, useId, useState } from 'react';
import { thingSchema } from '#domain/thing.ts';
import { useClasses } from '../data/names.ts';
import type { Branch, Places } from '../data/places.ts';
import { usePlaces } from '../data/places.ts';
import { useThingsLike } from '../data/thing-records.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { bodyOf } from './parts.tsx';
import { showCode } from './thing-facts.tsx';
import { WORD_OF_WHOSE } from './words.ts';

interface InputProps {
  readonly label: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly hint?: string | undefined;
  readonly error?: string | undefined;
  readonly required?: boolean;
}

/** Label, hint and error around any one control, which is told the ids of its words. */
export function Labelled({
  label,
  hint,
  error,
  children,
}: Pick<InputProps, 'label' | 'hint' | 'error'> & {
  readonly children: (ids: {
    id: string;
    described: string | undefined;
    invalid: true | undefined;
  }) => ReactNode;
}) {
  const id = useId();
  const described = [hint ? `${id}-hint` : '', error ? `${id}-error` : ''].filter(Boolean).join(' ');
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      {children({ id, described: described || undefined, invalid: error ? true : undefined })}
      {hint ? (
        <p className="field-hint" id={`${id}-hint`}>
          {hint}
        </p>
      ) : null}
      {error ? (
        <p className="field-error" id={`${id}-error`} role="alert">
          {error}
        </p>
      ) : null}
    </div>
  );
}

export function Select({
  value,
  onValue,
  required,
  children,
  ...words
}: InputProps & { readonly children: ReactNode }) {
  return (
    <Labelled {...words}>
      {({ id, described, invalid }) => (
        <select
          id={id}
          value={value}
          required={required}
          aria-describedby={described}
          aria-invalid={invalid}
          onChange={(event) => onValue(event.target.value)}
        >
          {children}
        </select>
      )}
    </Labelled>
  );
}

export function LongText({ value, onValue, ...words }: InputProps) {
  return (
    <Labelled {...words}>
      {({ id, described, invalid }) => (
        <textarea
          id={id}
          value={value}
          rows={3}
          maxLength={4_000}
          aria-describedby={described}
          aria-invalid={invalid}
          onChange={(event) => onValue(event.target.value)}
        />
      )}
    </Labelled>
  );
}

interface Option {
  readonly id: string;
  readonly name: string;
}

// What is inside stands below what it is in, its way in the words, because an option can't be indented everywhere.
function optionsOf({ place, inside }: Branch, around: string): readonly Option[] {
  const name = around === '' ? place.name : `${place.name}, in ${around}`;
  return [{ id: place.id, name }, ...inside.flatMap((branch) => optionsOf(branch, place.name))];
}

const isFixedOrMoving = (branch: Branch): boolean => branch.place.kind !== 'party';

/** Any place, in the tree's order; parties only, or all but those. */
export function PlaceSelect({
  parties = false,
  without,
  none,
  ...input
}: InputProps & {
  readonly parties?: boolean;
  /** A place that can't be chosen: the thing itself. */
  readonly without?: string;
  readonly none: string;
}) {
  const places: Places | null = bodyOf(usePlaces().answer);
  const roots = places?.roots.filter((branch) => isFixedOrMoving(branch) !== parties) ?? [];
  const isKnown = input.value === '' || places === null || places.byId.has(input.value);
  return (
    <Select {...input}>
      <option value="">{none}</option>
      {isKnown ? null : <option value={input.value}>a place that is gone</option>}
      {roots.map((branch) => {
        const options = optionsOf(branch, '').filter(({ id }) => id !== without);
        return options.length === 1 ? (
          <option key={branch.place.id} value={options[0]?.id}>
            {options[0]?.name}
          </option>
        ) : (
          <optgroup key={branch.place.id} label={branch.place.name}>
            {options.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </optgroup>
        );
      })}
    </Select>
  );
}

export function ClassSelect(input: InputProps) {
  const classes = [...useClasses().values()].sort((a, b) => a.name.localeCompare(b.name));
  return (
    <Select {...input}>
      <option value="">no class</option>
      {classes.map(({ id, name }) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </Select>
  );
}

function ChosenThing({ id, onOther }: { readonly id: string; readonly onOther: () => void }) {
  const thing = bodyOf(useAnswer(`/api/things/${id}`, thingSchema).answer);
  return (
    <p className="thing-chosen">
      <strong>{thing?.name ?? 'Asking …'}</strong>{' '}
      <Button kind="quiet" onClick={onOther}>
        Choose another
      </Button>
    </p>
  );
}

function FoundThings({
  text,
  without,
  onChoose,
}: {
  readonly text: string;
  readonly without: string | undefined;
  readonly onChoose: (id: string) => void;
}) {
  const found = bodyOf(useThingsLike(text).answer)?.things.filter(({ id }) => id !== without);
  if (text.trim() === '' || found === undefined) return null;
  if (found.length === 0) return <p role="status">Nothing is called that. Try fewer letters.</p>;
  return (
    <ul className="thing-found" aria-label="Things found">
      {found.map((thing) => (
        <li key={thing.id}>
          <button type="button" className="line" onClick={() => onChoose(thing.id)}>
            <span className="line-name">{thing.name}</span>{' '}
            <span className="line-facts">
              {[
                thing.maker,
                thing.model,
                thing.serial,
                WORD_OF_WHOSE[thing.whose],
                ...thing.codes.map(showCode),
              ]
                .filter(Boolean)
                .join(' · ')}
            </span>
          </button>
        </li>
      ))}
    </ul>
  );
}

/** Another thing, found by any words of its own. */
export function ThingPicker({
  value,
  onValue,
  without,
  ...words
}: Omit<InputProps, 'required'> & { readonly without?: string }) {
  const [text, setText] = useState('');
  const asked = useDeferredValue(text);
  if (value !== '')
    return (
      <fieldset className="field bare">
        <legend className="thing-legend">{words.label}</legend>
        <ChosenThing id={value} onOther={() => onValue('')} />
        {words.error ? (
          <p className="field-error" role="alert">
            {words.error}
          </p>
        ) : null}
      </fieldset>
    );
  return (
    <div>
      <Labelled {...words}>
        {({ id, described, invalid }) => (
          <input
            id={id}
            type="search"
            value={text}
            maxLength={200}
            autoComplete="off"
            placeholder="Name, maker, model or serial number"
            aria-describedby={described}
            aria-invalid={invalid}
            onChange={(event) => setText(event.target.value)}
          />
        )}
      </Labelled>
      <FoundThings
        text={asked}
        without={without}
        onChoose={(id) => {
          setText('');
          onValue(id);
        }}
      />
    </div>
  );
}
