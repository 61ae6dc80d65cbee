// The lists of one place. A list of 100,000 things is asked for by windows, where it is looked at.
import { useCallback, useEffect, useRef, useState } from 'react';
import {
  type ContentLine,
  contentPageSchema,
  type HomeLine,
  homePageSchema,
  type PlaceSums,
  placeSumsSchema,
} from '#domain/where.ts';
import { type Asked, ask, type Refused } from './ask.ts';
import { useChangeNumber } from './changes.ts';
import { type Told, useAnswer } from './use-answer.ts';

const WINDOW = 100;
const WINDOW_MAX = 500;
/** A few windows around what is looked at are kept; the others are asked for again. */
const WINDOWS_KEPT = 12;

export interface Page<T> {
  readonly lines: readonly T[];
  readonly all: number;
}
export type AskPage<T> = (path: string, signal?: AbortSignal) => Promise<Asked<Page<T>>>;

export const askContents: AskPage<ContentLine> = async (path, signal) => {
  const answer = await ask(path, contentPageSchema, signal ? { signal } : {});
  return answer.ok ? { ...answer, body: { lines: answer.body.contents, all: answer.body.all } } : answer;
};
export const askHomes: AskPage<HomeLine> = async (path, signal) => {
  const answer = await ask(path, homePageSchema, signal ? { signal } : {});
  return answer.ok ? { ...answer, body: { lines: answer.body.homes, all: answer.body.all } } : answer;
};

export function useSums(placeId: string): Told<PlaceSums> {
  return useAnswer(`/api/places/${placeId}/sums?reach=inside`, placeSumsSchema);
}

interface Kept<T> {
  readonly path: string;
  readonly all: number | null;
  /** The lines of each window, and the round in which they were asked for. */
  readonly windows: ReadonlyMap<number, { readonly round: string; readonly lines: readonly T[] }>;
  readonly refused: Refused | null;
}

export interface Lines<T> {
  /** How many there are; null while nothing was heard yet. */
  readonly all: number | null;
  /** The line at a number from 0; undefined while it is not there yet. */
  readonly at: (index: number) => T | undefined;
  /** Tells which lines are looked at. */
  readonly look: (first: number, last: number) => void;
  readonly refused: Refused | null;
  /** What is shown answers an older question. */
  readonly isStale: boolean;
  readonly again: () => void;
}

const windowPath = (path: string, skip: number, limit: number) =>
  `${path}${path.includes('?') ? '&' : '?'}skip=${skip}&limit=${limit}`;

interface Came<T> {
  readonly path: string;
  readonly round: string;
  readonly no: number;
  readonly page: Page<T>;
}

function withWindow<T>(before: Kept<T>, { path, round, no, page }: Came<T>): Kept<T> {
  const kept = before.path === path && before.all === page.all ? [...before.windows] : [];
  const near = kept.filter(([other]) => Math.abs(other - no) < WINDOWS_KEPT);
  const windows = new Map([...near, [no, { round, lines: page.lines }] as const]);
  return { path, all: page.all, windows, refused: null };
}

/** The lines of a list (its address, with its filters) as they are looked at; asked again when the outfit changes. */
export function useLines<T>(path: string, askPage: AskPage<T>): Lines<T> {
  const [kept, setKept] = useState<Kept<T>>({ path, all: null, windows: new Map(), refused: null });
  const [seen, setSeen] = useState<readonly [number, number]>([0, 0]);
  const [turn, setTurn] = useState(0);
  const change = useChangeNumber();
  const round = `${path} ${turn} ${change}`;
  const known = useRef(kept.windows);
  known.current = kept.windows;
  useEffect(() => {
    const stop = new AbortController();
    const fetchWindow = async (no: number) => {
      const answer = await askPage(windowPath(path, no * WINDOW, WINDOW), stop.signal);
      if (stop.signal.aborted) return;
      if (answer.ok) setKept((before) => withWindow(before, { path, round, no, page: answer.body }));
      else setKept((before) => ({ ...before, path, refused: answer }));
    };
    for (let no = seen[0]; no <= seen[1]; no += 1) {
      if (known.current.get(no)?.round === round) continue;
      fetchWindow(no).catch((error: unknown) => {
        if (!stop.signal.aborted) throw error;
      });
    }
    return () => stop.abort();
  }, [path, askPage, round, seen]);
  const look = useCallback((first: number, last: number) => {
    const windows = [
      Math.floor(Math.max(0, first) / WINDOW),
      Math.floor(Math.max(0, last) / WINDOW),
    ] as const;
    setSeen((before) => (before[0] === windows[0] && before[1] === windows[1] ? before : windows));
  }, []);
  const at = (index: number) => kept.windows.get(Math.floor(index / WINDOW))?.lines[index % WINDOW];
  const again = useCallback(() => setTurn((before) => before + 1), []);
  return { all: kept.all, at, look, refused: kept.refused, isStale: kept.path !== path, again };
}

/** The lines from one number up to another, both along, however many windows that takes. */
export async function askRange<T>(
  path: string,
  askPage: AskPage<T>,
  first: number,
  last: number,
): Promise<Asked<readonly T[]>> {
  const lines: T[] = [];
  while (first + lines.length <= last) {
    const skip = first + lines.length;
    const answer = await askPage(windowPath(path, skip, Math.min(WINDOW_MAX, last - skip + 1)));
    if (!answer.ok) return answer;
    if (answer.body.lines.length === 0) break;
    lines.push(...answer.body.lines);
  }
  return { ok: true, body: lines, version: null };
}
