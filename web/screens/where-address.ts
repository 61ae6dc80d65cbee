// What the tree and the place beside it show stands in the address: the chosen place, the open branches, the list and
// its filter. So back, forward, a reload and a link sent to somebody else show the same.
import { useRef } from 'react';
import { useNavigate, useParams, useSearchParams } from 'react-router';
import { type Branch, chainFrom, hasVehicle, type Places } from '../data/places.ts';

export const LISTS = ['here', 'inside', 'open', 'stray', 'lives', 'missing'] as const;
export type ListName = (typeof LISTS)[number];

/** More branches than this would make an address that a service refuses; the ones opened first close then. */
const OPEN_MAX = 500;
/** The end of an id is enough to know a place again; the beginning of two made at one time is alike. */
const SHORT = 8;

export interface WhereAddress {
  readonly chosen: string | null;
  readonly open: ReadonlySet<string>;
  readonly setOpen: (id: string, isOpen: boolean) => void;
  readonly choose: (id: string) => void;
  /** The address of a place that keeps the tree as it is. */
  readonly to: (id: string, list?: ListName) => string;
  readonly list: ListName | null;
  readonly setList: (list: ListName) => void;
  readonly text: string;
  readonly setText: (text: string) => void;
}

function branchesWithVehicles(branches: readonly Branch[]): readonly string[] {
  return branches
    .filter(hasVehicle)
    .flatMap(({ place, inside }) => [place.id, ...branchesWithVehicles(inside)]);
}

const around = (chosen: string | null, { byId }: Places): readonly string[] =>
  chosen === null ? [] : chainFrom(chosen, byId).map(({ id }) => id);

const short = (id: string): string => id.slice(-SHORT);

function readOpen(text: string, { byId }: Places): ReadonlySet<string> {
  const wanted = new Set(text.split('.'));
  return new Set([...byId.keys()].filter((id) => wanted.has(short(id))));
}

function sayOpen(open: ReadonlySet<string>): string {
  return [...open].slice(-OPEN_MAX).map(short).join('.');
}

export function useWhereAddress(places: Places): WhereAddress {
  const navigate = useNavigate();
  const { placeId: chosen = null } = useParams();
  const [query, setQuery] = useSearchParams();
  const said = query.get('open');
  const list = LISTS.find((name) => name === query.get('list')) ?? null;
  // An address that does not say what is open, such as a link from elsewhere, opens the way to its place, and the place.
  const last = useRef<ReadonlySet<string> | null>(null);
  const base = last.current ?? new Set(branchesWithVehicles(places.roots));
  const open = said === null ? new Set([...base, ...around(chosen, places)]) : readOpen(said, places);
  last.current = open;

  const change = (change: (next: URLSearchParams) => void) =>
    setQuery(
      (before) => {
        const next = new URLSearchParams(before);
        next.set('open', sayOpen(open));
        change(next);
        return next;
      },
      { replace: true },
    );
  const setOpen: WhereAddress['setOpen'] = (id, isOpen) => {
    const next = new Set([...open].filter((one) => one !== id));
    if (isOpen) next.add(id);
    last.current = next;
    change((words) => words.set('open', sayOpen(next)));
  };
  const to: WhereAddress['to'] = (id, wanted) =>
    `/where/${id}?open=${sayOpen(new Set([...open, id]))}${wanted ? `&list=${wanted}` : ''}`;
  return {
    chosen,
    open,
    setOpen,
    to,
    choose: (id) => navigate(to(id)),
    list,
    setList: (wanted) => change((words) => words.set('list', wanted)),
    text: query.get('text') ?? '',
    setText: (text) =>
      change((words) => {
        if (text === '') words.delete('text');
        else words.set('text', text);
      }),
  };
}
