// Choosing a place by typing: a field and the places that hold its words, with arrows and Enter (WAI-ARIA Authoring
// Practices 1.2, pattern "Combobox").
import { type KeyboardEvent, useId, useMemo, useState } from 'react';
import { fold, searchWords } from '#domain/fold.ts';
import { chainFrom, type PlaceNode, type Places } from '../data/places.ts';
import { WORD_OF_PLACE } from './words.ts';

const SHOWN_MAX = 8;

/** A place and what it is in, as words to look through and to show. */
interface Candidate {
  readonly place: PlaceNode;
  readonly folded: string;
  readonly way: string;
}

function candidatesOf(places: Places): readonly Candidate[] {
  return [...places.byId.values()].map((place) => {
    const outer = chainFrom(place.id, places.byId).slice(1);
    const way = outer.map(({ name }) => name).join(' in ');
    return { place, way, folded: fold(`${place.name} ${way}`) };
  });
}

/** Those whose words, with what they are in, hold all that was typed; first those that begin with it. */
function findPlaces(candidates: readonly Candidate[], text: string): readonly Candidate[] {
  const words = searchWords(text);
  const rank = ({ folded, place }: Candidate) =>
    (folded.startsWith(fold(text)) ? 0 : 2) + (place.kind === 'compartment' ? 0 : 1);
  return candidates
    .filter(({ folded }) => words.every((word) => folded.includes(word)))
    .sort((a, b) => rank(a) - rank(b) || a.folded.localeCompare(b.folded))
    .slice(0, SHOWN_MAX);
}

export function sayPlace(place: PlaceNode, places: Places): string {
  return chainFrom(place.id, places.byId)
    .map(({ name }) => name)
    .join(' in ');
}

interface PlaceChoiceProps {
  readonly label: string;
  readonly places: Places;
  readonly chosen: PlaceNode | null;
  readonly error: string | null;
  readonly onChoose: (place: PlaceNode | null) => void;
}

export function PlaceChoice({ label, places, chosen, error, onChoose }: PlaceChoiceProps) {
  const id = useId();
  const [text, setText] = useState(chosen === null ? '' : sayPlace(chosen, places));
  const [active, setActive] = useState(0);
  const candidates = useMemo(() => candidatesOf(places), [places]);
  const found = useMemo(
    () => (chosen === null ? findPlaces(candidates, text) : []),
    [candidates, text, chosen],
  );
  const choose = (candidate: Candidate | undefined) => {
    if (candidate === undefined) return;
    setText(sayPlace(candidate.place, places));
    setActive(0);
    onChoose(candidate.place);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (step !== 0) setActive(Math.min(found.length - 1, Math.max(0, active + step)));
    else if (event.key === 'Enter' && chosen === null) choose(found[active]);
    else return;
    event.preventDefault();
  };
  return (
    <div className="field place-choice">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        role="combobox"
        autoComplete="off"
        aria-expanded={found.length > 0}
        aria-controls={`${id}-list`}
        aria-autocomplete="list"
        aria-activedescendant={found.length > 0 ? `${id}-${active}` : undefined}
        aria-invalid={error === null ? undefined : true}
        aria-describedby={error === null ? undefined : `${id}-error`}
        placeholder="Type a part of its name"
        value={text}
        onChange={(event) => {
          setText(event.target.value);
          setActive(0);
          onChoose(null);
        }}
        onKeyDown={onKeyDown}
      />
      {error === null ? null : (
        <p className="field-error" id={`${id}-error`} role="alert">
          {error}
        </p>
      )}
      <div role="listbox" id={`${id}-list`} aria-label={label} className="place-choices">
        {found.map((candidate, index) => (
          <div
            key={candidate.place.id}
            id={`${id}-${index}`}
            role="option"
            tabIndex={-1}
            aria-selected={index === active}
            onClick={() => choose(candidate)}
            onKeyDown={onKeyDown}
          >
            <span className="strong">{candidate.place.name}</span>{' '}
            <span className="small">
              {WORD_OF_PLACE[candidate.place.kind]}
              {candidate.way === '' ? '' : ` in ${candidate.way}`}
            </span>
          </div>
        ))}
      </div>
      {chosen === null && text !== '' && found.length === 0 ? (
        <p className="field-hint">No place is called that. Make it first, on the page of a place.</p>
      ) : null}
    </div>
  );
}
