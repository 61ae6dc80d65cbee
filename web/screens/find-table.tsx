// What was found, one line each: what it is, by what it is known, where it is now and what it costs new. The arrows go
// from name to name, x selects.
import { useEffect } from 'react';
import { Link } from 'react-router';
import type { FoundAt, SearchHit } from '#domain/search-hit.ts';
import type { Thing } from '#domain/thing.ts';
import { WideTable } from './parts.tsx';
import type { Selection } from './selection.ts';
import { showMoney, showNumber, WORD_OF_KIND, WORD_OF_PLACE, WORD_OF_WHOSE } from './words.ts';

// Counted gear may be in very many places; all of them are on its own page.
const PLACES_SHOWN_MAX = 3;

function Whereabouts({ at, isNumber }: { readonly at: readonly FoundAt[]; readonly isNumber: boolean }) {
  const more = at.length - PLACES_SHOWN_MAX;
  const shown = more > 1 ? at.slice(0, PLACES_SHOWN_MAX) : at;
  const lines = shown.map(({ chain, number, spot }) => (
    <span key={chain[0]?.id} className="whereabouts">
      {isNumber ? <strong>{showNumber(number)} × </strong> : null}
      {spot ? <strong>{spot}, </strong> : null}
      <span className="chain">
        {chain.map(({ id, name }, step) => (
          <span key={id}>
            {step > 0 ? <span className="chain-in"> in </span> : null}
            <Link to={`/where/${id}`}>{name}</Link>
          </span>
        ))}
      </span>
    </span>
  ));
  if (more <= 1) return lines;
  return [
    ...lines,
    <span key="more" className="whereabouts small">
      and in {showNumber(more)} other places
    </span>,
  ];
}

/** What kind it is, where that is not plain, and by what people know it. */
function knownBy({ thing, place }: SearchHit): string {
  if (thing === null) return place === null ? '' : WORD_OF_PLACE[place.kind];
  const kind = thing.kind === 'item' ? null : WORD_OF_KIND[thing.kind];
  return [kind, thing.maker, thing.model, thing.serial, ...thing.codes].filter(Boolean).join(' · ');
}

function Marks({ thing, match }: { readonly thing: Thing | null; readonly match: SearchHit['match'] }) {
  const marks = [
    ...(thing === null
      ? []
      : [
          thing.writtenOff ? 'written off' : '',
          thing.faulty === null ? '' : 'faulty',
          thing.whose === 'ours' ? '' : WORD_OF_WHOSE[thing.whose],
        ]),
    match === 'alike' ? 'is spelt like it' : '',
  ].filter(Boolean);
  return marks.map((mark) => (
    <span key={mark} className="mark">
      {mark}
    </span>
  ));
}

function HitRow({ hit, selection }: { readonly hit: SearchHit; readonly selection: Selection }) {
  const { thing, place, at, match } = hit;
  const one = thing ?? place;
  if (one === null) return null;
  const isSelected = thing !== null && selection.has(thing.id);
  return (
    <tr className={isSelected ? 'is-selected' : ''}>
      <td className="find-select not-on-paper">
        {thing === null ? null : (
          <input
            type="checkbox"
            checked={isSelected}
            aria-label={`Select ${thing.name}`}
            onChange={() => selection.toggle(thing)}
          />
        )}
      </td>
      <th scope="row">
        <Link to={thing === null ? `/where/${one.id}` : `/things/${one.id}`} data-found={one.id}>
          {one.name}
        </Link>
        <Marks thing={thing} match={match} />
        <span className="find-known-below small">{knownBy(hit)}</span>
      </th>
      <td className="find-known">{knownBy(hit)}</td>
      <td>
        {at.length === 0 && thing !== null ? (
          <span className="small">never put down anywhere</span>
        ) : (
          <Whereabouts at={at} isNumber={thing !== null && thing.kind !== 'item'} />
        )}
      </td>
      <td className="number find-worth">{showMoney(thing?.replacement ?? null)}</td>
    </tr>
  );
}

const STEPS: ReadonlyMap<string, number> = new Map([
  ['ArrowDown', 1],
  ['ArrowUp', -1],
]);

/** Up from the first name goes back into the search, so that one can type on. */
function moveFocus(from: string, step: number): void {
  const all = [...document.querySelectorAll<HTMLElement>('[data-found]')];
  const at = all.findIndex((one) => one.dataset.found === from);
  if (at + step < 0) document.querySelector<HTMLElement>('input[name="q"]')?.focus();
  else all[at + step]?.focus();
}

/** The keys of the lines, heard while one of their names has the focus; "e" wherever nobody types. */
function useLineKeys(hits: readonly SearchHit[], selection: Selection, onEdit: () => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const { target } = event;
      if (event.ctrlKey || event.metaKey || event.altKey || !(target instanceof HTMLElement)) return;
      if (target.closest('input:not([type=checkbox]), select, textarea, dialog') !== null) return;
      const line = target.closest('tr')?.querySelector<HTMLElement>('[data-found]') ?? null;
      const step = STEPS.get(event.key);
      const thing = hits.find((hit) => hit.thing?.id === line?.dataset.found)?.thing;
      if (event.key === 'e' && selection.all.length > 0) onEdit();
      else if (line?.dataset.found !== undefined && step !== undefined) moveFocus(line.dataset.found, step);
      else if (event.key === 'x' && thing) selection.toggle(thing);
      else return;
      event.preventDefault();
    };
    // Before the keys of the frame, which leave alone what was used here.
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  }, [hits, selection, onEdit]);
}

export function FindTable({
  hits,
  selection,
  onEdit,
}: {
  readonly hits: readonly SearchHit[];
  readonly selection: Selection;
  readonly onEdit: () => void;
}) {
  useLineKeys(hits, selection, onEdit);
  return (
    <WideTable name="Found">
      <table className="find-table">
        <thead>
          <tr>
            <td className="find-select not-on-paper" />
            <th scope="col">Name</th>
            <th scope="col" className="find-known">
              Known by
            </th>
            <th scope="col">Where it is</th>
            <th scope="col" className="number find-worth">
              Costs new
            </th>
          </tr>
        </thead>
        <tbody>
          {hits.map((hit) => (
            <HitRow key={hit.thing?.id ?? hit.place?.id} hit={hit} selection={selection} />
          ))}
        </tbody>
      </table>
    </WideTable>
  );
}
