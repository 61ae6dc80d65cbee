// Choosing lines of a long list: one by one, with Shift up to another, or all; also those that are not on the screen.
import { type KeyboardEvent, useRef, useState } from 'react';
import type { ContentLine } from '#domain/where.ts';
import type { Refused } from '../data/ask.ts';
import { askContents, askRange, type Lines } from '../data/place-lists.ts';
import { MOVED_MAX } from '../data/place-moves.ts';

export const keyOfLine = ({ id, placeId }: ContentLine): string => `${id} ${placeId}`;

export interface ChosenLines {
  readonly lines: ReadonlyMap<string, ContentLine>;
  readonly refused: Refused | null;
  /** Chooses a line or takes the choice back; with `toHere`, all from the one chosen last. */
  readonly toggle: (index: number, toHere: boolean) => void;
  readonly all: () => void;
  readonly none: () => void;
  /** The line that the keyboard is on. */
  readonly current: number;
  readonly setCurrent: (index: number) => void;
  readonly onKeyDown: (event: KeyboardEvent, scrollTo: (index: number) => void) => void;
}

/** The box of a line is focused as soon as its row is drawn. */
function focusBox(body: Element, index: number): void {
  const look = (tries: number) => {
    const box = body.querySelector<HTMLElement>(`[data-index="${index}"] input[type="checkbox"]`);
    if (box) box.focus();
    else if (tries > 0) requestAnimationFrame(() => look(tries - 1));
  };
  look(30);
}

export function useChosenLines(path: string, list: Lines<ContentLine>): ChosenLines {
  const [kept, setKept] = useState<{ path: string; lines: ReadonlyMap<string, ContentLine> }>({
    path,
    lines: new Map(),
  });
  const [refused, setRefused] = useState<Refused | null>(null);
  const [current, setCurrent] = useState(0);
  const anchor = useRef(0);
  // What was chosen in one list is not chosen in another.
  const lines = kept.path === path ? kept.lines : new Map<string, ContentLine>();
  const last = Math.max(0, (list.all ?? 1) - 1);
  const choose = (more: readonly ContentLine[]) =>
    setKept({ path, lines: new Map([...lines, ...more.map((line) => [keyOfLine(line), line] as const)]) });
  const chooseRange = async (from: number, to: number) => {
    const first = Math.min(from, to);
    const range = await askRange(
      path,
      askContents,
      first,
      Math.min(Math.max(from, to), first + MOVED_MAX - 1),
    );
    setRefused(range.ok ? null : range);
    if (range.ok) choose(range.body);
  };
  const toggle: ChosenLines['toggle'] = (index, toHere) => {
    setCurrent(index);
    const line = list.at(index);
    if (toHere) return void chooseRange(anchor.current, index);
    anchor.current = index;
    if (line === undefined) return;
    if (!lines.has(keyOfLine(line))) return choose([line]);
    setKept({ path, lines: new Map([...lines].filter(([key]) => key !== keyOfLine(line))) });
  };
  const goTo = (body: Element, index: number, scrollTo: (index: number) => void) => {
    const next = Math.min(last, Math.max(0, index));
    setCurrent(next);
    scrollTo(next);
    focusBox(body, next);
    return next;
  };
  const onKeyDown: ChosenLines['onKeyDown'] = (event, scrollTo) => {
    const { key, shiftKey, ctrlKey, metaKey, currentTarget } = event;
    const isOnBox = event.target instanceof HTMLInputElement;
    if (!isOnBox) return;
    if ((ctrlKey || metaKey) && key.toLowerCase() === 'a') {
      event.preventDefault();
      return void chooseRange(0, last);
    }
    const targets = new Map([
      ['ArrowDown', current + 1],
      ['ArrowUp', current - 1],
      ['Home', 0],
      ['End', last],
    ]);
    const target = targets.get(key);
    if (target === undefined || ctrlKey || metaKey) return;
    event.preventDefault();
    const at = goTo(currentTarget, target, scrollTo);
    if (shiftKey) void chooseRange(anchor.current, at);
    else anchor.current = at;
  };
  return {
    ...{ lines, refused, toggle, current: Math.min(current, last), setCurrent, onKeyDown },
    all: () => void chooseRange(0, last),
    none: () => setKept({ path, lines: new Map() }),
  };
}
