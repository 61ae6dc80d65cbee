// The rows of the tree as they are seen, and what each key does (WAI-ARIA Authoring Practices 1.2, pattern "Tree View").
import { fold } from '#domain/fold.ts';
import type { Branch } from '../data/places.ts';

export interface Row {
  readonly branch: Branch;
  readonly depth: number;
  readonly outer: string | null;
  /** From 1, among so many siblings. */
  readonly position: number;
  readonly siblings: number;
}

/** The rows that are seen, from the top; a ring can't be open, because the tree has none. */
export function rowsOf(branches: readonly Branch[], open: ReadonlySet<string>): readonly Row[] {
  const rows: Row[] = [];
  const add = (inside: readonly Branch[], depth: number, outer: string | null) => {
    for (const [index, branch] of inside.entries()) {
      rows.push({ branch, depth, outer, position: index + 1, siblings: inside.length });
      if (open.has(branch.place.id)) add(branch.inside, depth + 1, branch.place.id);
    }
  };
  add(branches, 1, null);
  return rows;
}

export interface TreeDeeds {
  readonly goTo: (id: string | null | undefined) => void;
  readonly choose: (id: string) => void;
  readonly setOpen: (id: string, isOpen: boolean) => void;
  readonly move: (branch: Branch) => void;
  readonly order: (branch: Branch, by: -1 | 1) => void;
}

export interface TreeView {
  readonly rows: readonly Row[];
  /** The row that the key was pressed on. */
  readonly at: number;
  readonly open: ReadonlySet<string>;
  /** What was typed last, and when (ms): letters that follow each other closely are one word. */
  readonly typed: { text: string; at: number };
}

interface KeyPressed {
  readonly key: string;
  readonly timeStamp: number;
  readonly altKey: boolean;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
}

const WORD_MS = 700;

/** The next row, around the end, whose name begins with what was typed; the same row while a word grows. */
function findTyped({ rows, at, typed }: TreeView, key: string, now: number): string | null {
  const grows = now - typed.at < WORD_MS;
  typed.text = grows ? typed.text + key : key;
  typed.at = now;
  // One letter again and again goes on to the next of its kind.
  const isOne = [...typed.text].every((letter) => letter === typed.text[0]);
  const wanted = fold(isOne ? (typed.text[0] ?? '') : typed.text);
  const from = isOne ? at + 1 : at;
  for (let step = 0; step < rows.length; step += 1) {
    const place = rows[(from + step) % rows.length]?.branch.place;
    if (place && fold(place.name).startsWith(wanted)) return place.id;
  }
  return null;
}

function deedOfArrow(key: string, { rows, at, open }: TreeView, row: Row, deeds: TreeDeeds) {
  const { branch, outer } = row;
  const { id } = branch.place;
  const isOpen = open.has(id);
  const idAt = (index: number) => rows[index]?.branch.place.id;
  const first = branch.inside[0]?.place.id;
  const all = new Map([
    ['ArrowDown', () => deeds.goTo(idAt(at + 1))],
    ['ArrowUp', () => deeds.goTo(idAt(at - 1))],
    ['Home', () => deeds.goTo(idAt(0))],
    ['End', () => deeds.goTo(idAt(rows.length - 1))],
    ['ArrowRight', () => (first === undefined || isOpen ? deeds.goTo(first) : deeds.setOpen(id, true))],
    ['ArrowLeft', () => (isOpen && first !== undefined ? deeds.setOpen(id, false) : deeds.goTo(outer))],
    ['Enter', () => deeds.choose(id)],
    [' ', () => deeds.choose(id)],
  ]);
  return all.get(key) ?? null;
}

/** What a key does on a row; null where it means nothing here. */
export function deedOfKey(pressed: KeyPressed, view: TreeView, deeds: TreeDeeds): (() => void) | null {
  const row = view.rows[view.at];
  if (row === undefined || pressed.ctrlKey || pressed.metaKey) return null;
  const { key } = pressed;
  const isLetter = /^[\p{L}\p{N}]$/u.test(key);
  // What was typed before an arrow is no part of what is typed after it.
  if (!isLetter && key !== 'Shift') view.typed.text = '';
  if (pressed.altKey) {
    if (key === 'ArrowUp') return () => deeds.order(row.branch, -1);
    return key === 'ArrowDown' ? () => deeds.order(row.branch, 1) : null;
  }
  if (key === 'M' && pressed.shiftKey) return () => deeds.move(row.branch);
  const arrow = deedOfArrow(key, view, row, deeds);
  if (arrow !== null) return arrow;
  if (!isLetter) return null;
  const found = findTyped(view, key.toLowerCase(), pressed.timeStamp);
  // A letter is the tree's also where nothing begins with it, or it would open another screen.
  return () => deeds.goTo(found);
}
