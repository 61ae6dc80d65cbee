// What the palette offers for what was typed, and in which order. Nothing here asks the service or touches the page.
import { fold, searchWords } from '#domain/fold.ts';
import type { Match } from '#domain/search-hit.ts';
import type { PaletteHands } from './palette-actions.ts';

export interface PaletteEntry {
  /** Stays the same from visit to visit: what was used last is remembered by it. */
  readonly id: string;
  readonly name: string;
  /** What kind of thing it is, in a word: "screen", "job". */
  readonly word: string;
  /** A few facts that tell it from others of its name. */
  readonly facts?: string;
  /** Other words by which it is looked for. */
  readonly also?: string;
  /** An address to go to, or a deed. */
  readonly does: { readonly goTo: string } | { readonly run: (hands: PaletteHands) => void };
  /** How well the service says that it fits; left out for what the desk matches itself. */
  readonly match?: Match;
}

export const ENTRIES_MAX = 40;

const RANK_OF_MATCH = { code: 0, beginning: 1, part: 3, alike: 5, listed: 5 } as const satisfies Record<
  Match,
  number
>;
const NO_MATCH = 9;

/** How well an entry fits the folded words: 0 best, 9 not at all. */
function rankOf(entry: PaletteEntry, folded: string, words: readonly string[]): number {
  if (entry.match !== undefined) return RANK_OF_MATCH[entry.match];
  const name = fold(entry.name);
  if (name.startsWith(folded)) return 0;
  const beginsWords = words.every((word) => ` ${name}`.includes(` ${word}`));
  if (beginsWords) return 2;
  const all = `${name} ${fold(`${entry.facts ?? ''} ${entry.also ?? ''}`)}`;
  return words.every((word) => all.includes(word)) ? 4 : NO_MATCH;
}

/**
 * The entries that fit what was typed, best first: what begins with it, what has words that begin with it, what has it
 * in it, what is spelt like it. Among equals what was used last comes first, then the order given. With nothing typed:
 * what was used last, then the rest that the desk knows by itself. `recent` holds ids, the latest first.
 */
export function entriesFor(
  text: string,
  entries: readonly PaletteEntry[],
  recent: readonly string[],
): readonly PaletteEntry[] {
  const folded = fold(text);
  const words = searchWords(text);
  const usedAt = (entry: PaletteEntry) => {
    const at = recent.indexOf(entry.id);
    return at < 0 ? recent.length : at;
  };
  return entries
    .map((entry, order) => ({ entry, order, rank: folded === '' ? 0 : rankOf(entry, folded, words) }))
    .filter(({ rank }) => rank < NO_MATCH)
    .sort((a, b) => a.rank - b.rank || usedAt(a.entry) - usedAt(b.entry) || a.order - b.order)
    .slice(0, ENTRIES_MAX)
    .map(({ entry }) => entry);
}
