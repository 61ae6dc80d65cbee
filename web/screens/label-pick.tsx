// Which things get labels: the list in home order, filtered by place, by tag and by whose; the filters stand in the address.
import { useMemo } from 'react';
import { useSearchParams } from 'react-router';
import { foldForSearch, searchWords } from '#domain/fold.ts';
import { showTag, tagCodeSchema } from '#domain/tag-code.ts';
import type { Labelled } from '../data/labels.ts';
import { Button } from '../look/button.tsx';
import { Field } from '../look/field.tsx';
import { WideTable } from './parts.tsx';
import { showNumber, WORD_OF_WHOSE } from './words.ts';

export const SHOWS = ['bare', 'tagged', 'all', 'not-ours'] as const;
export type Show = (typeof SHOWS)[number];
const WORD_OF_SHOW: Readonly<Record<Show, string>> = {
  bare: 'Without a tag',
  tagged: 'With a tag',
  all: 'All',
  'not-ours': 'Rented in and borrowed',
};
/** So many rows at first; nobody ticks more by hand, and "all" is a button. */
const ROWS_SHOWN = 400;

export interface LabelFilter {
  readonly show: Show;
  readonly placeId: string;
  readonly text: string;
  /** Only these, as another screen chose them; null: everything. */
  readonly ids: ReadonlySet<string> | null;
}

export function useLabelFilter() {
  const [query, setQuery] = useSearchParams();
  const ids = query.get('ids');
  const filter: LabelFilter = {
    show: SHOWS.find((show) => show === query.get('show')) ?? (ids === null ? 'bare' : 'all'),
    placeId: query.get('place') ?? '',
    text: query.get('q') ?? '',
    ids: ids === null ? null : new Set(ids.split(',')),
  };
  const set = (name: 'show' | 'place' | 'q', value: string) =>
    setQuery(
      (before) => {
        const next = new URLSearchParams(before);
        if (value === '') next.delete(name);
        else next.set(name, value);
        return next;
      },
      { replace: true },
    );
  return { filter, set };
}

function passes(one: Labelled, filter: LabelFilter, words: readonly string[]): boolean {
  const { show, placeId, ids } = filter;
  if (ids !== null && !ids.has(one.id)) return false;
  if (show === 'bare' && one.tag !== null) return false;
  if (show === 'tagged' && one.tag === null) return false;
  if (show === 'not-ours' && one.whose === 'ours') return false;
  if (placeId !== '' && one.id !== placeId && !one.home.some(({ id }) => id === placeId)) return false;
  if (words.length === 0) return true;
  const known = foldForSearch([one.name, one.tag]);
  return words.every((word) => known.includes(word));
}

export function filterLabelled(all: readonly Labelled[], filter: LabelFilter): readonly Labelled[] {
  const words = searchWords(filter.text);
  return all.filter((one) => passes(one, filter, words));
}

/** Every place that something lives in, in home order, indented as deep as it lies. */
function placesOf(all: readonly Labelled[]): readonly { readonly id: string; readonly name: string }[] {
  const known = new Map<string, string>();
  for (const { home } of all)
    home.forEach(({ id, name }, depth) => {
      if (!known.has(id)) known.set(id, `${'\u2003'.repeat(depth)}${name}`);
    });
  return [...known].map(([id, name]) => ({ id, name }));
}

interface FiltersProps {
  readonly all: readonly Labelled[];
  readonly filter: LabelFilter;
  readonly set: ReturnType<typeof useLabelFilter>['set'];
}

export function LabelFilters({ all, filter, set }: FiltersProps) {
  const places = useMemo(() => placesOf(all), [all]);
  return (
    <div className="label-filters">
      <fieldset className="label-shows">
        <legend className="unseen">Which</legend>
        {SHOWS.map((show) => (
          <Button key={show} aria-pressed={filter.show === show} onClick={() => set('show', show)}>
            {WORD_OF_SHOW[show]}
          </Button>
        ))}
      </fieldset>
      <div className="label-pair">
        <div className="field">
          <label htmlFor="label-place">Lives in</label>
          <select
            id="label-place"
            value={filter.placeId}
            onChange={(event) => set('place', event.target.value)}
          >
            <option value="">Anywhere</option>
            {places.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </div>
        <Field
          label="Name or tag"
          type="search"
          defaultValue={filter.text}
          maxLength={200}
          onChange={(event) => set('q', event.target.value)}
        />
      </div>
    </div>
  );
}

const showCode = (code: string | null): string => {
  const tag = tagCodeSchema.safeParse(code);
  return tag.success ? showTag(tag.data) : 'none yet';
};

interface PickProps {
  readonly shown: readonly Labelled[];
  readonly chosen: ReadonlySet<string>;
  readonly onChoose: (chosen: ReadonlySet<string>) => void;
}

function Row({ one, isChosen, onTick }: { one: Labelled; isChosen: boolean; onTick: (on: boolean) => void }) {
  const whose = one.whose === 'ours' ? null : WORD_OF_WHOSE[one.whose];
  return (
    <tr>
      <td>
        <input
          type="checkbox"
          aria-label={one.name}
          checked={isChosen}
          onChange={(event) => onTick(event.target.checked)}
        />
      </td>
      <th scope="row">
        {one.name}
        {one.kind === 'place' ? <span className="small"> place</span> : null}
        {whose === null ? null : <span className="small"> {whose}</span>}
      </th>
      <td>{one.home.map(({ name }) => name).join(' › ')}</td>
      <td className={one.tag === null ? 'small' : 'code'}>{showCode(one.tag)}</td>
    </tr>
  );
}

export function LabelPick({ shown, chosen, onChoose }: PickProps) {
  const rows = shown.slice(0, ROWS_SHOWN);
  const tick = (id: string, on: boolean) =>
    onChoose(new Set(on ? [...chosen, id] : [...chosen].filter((known) => known !== id)));
  const chosenHere = shown.filter(({ id }) => chosen.has(id)).length;
  return (
    <>
      <p className="row-ways">
        <Button
          disabled={chosenHere === shown.length}
          onClick={() => onChoose(new Set([...chosen, ...shown.map(({ id }) => id)]))}
        >
          Choose all {showNumber(shown.length)}
        </Button>
        <Button kind="quiet" disabled={chosen.size === 0} onClick={() => onChoose(new Set())}>
          Choose none
        </Button>
        <span role="status" className="small">
          {showNumber(chosen.size)} chosen
        </span>
      </p>
      <WideTable name="Things in home order">
        <table>
          <thead>
            <tr>
              <th scope="col">
                <span className="unseen">Chosen</span>
              </th>
              <th scope="col">Name</th>
              <th scope="col">Lives in</th>
              <th scope="col">Tag</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((one) => (
              <Row key={one.id} one={one} isChosen={chosen.has(one.id)} onTick={(on) => tick(one.id, on)} />
            ))}
          </tbody>
        </table>
      </WideTable>
      {shown.length > rows.length ? (
        <p className="small">
          The first {showNumber(rows.length)} of {showNumber(shown.length)}. Choose a place or type a part of
          a name to see others; “Choose all” takes all of them.
        </p>
      ) : null}
    </>
  );
}
