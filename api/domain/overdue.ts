// Things that are not ours and should be back with their owner by now.
import type { Book } from './book.ts';
import type { PlaceId } from './ids.ts';
import { standingOf } from './ledger.ts';
import { isKept } from './marks.ts';
import type { Thing } from './thing.ts';

export interface Overdue {
  readonly thing: Thing;
  /** How many of it we still have; 1 for an item. */
  readonly number: number;
  /** Where most of them are; null where nobody has put it down anywhere. */
  readonly placeId: PlaceId | null;
  /** The date it was due back, and for how many days that is past: 1 or more. */
  readonly dueOn: string;
  readonly days: number;
}

const DAY_MS = 86_400_000;

/**
 * Rented in and borrowed things whose last day is before `today` (a calendar date of the outfit's zone) and that are
 * not with their owner by the ledger. The due date itself is still in time. Things of a client have no fee and no due
 * date of this kind, unless one was written down. Sorted by the longest overdue, then as the things came.
 */
export function overdueThings(things: Iterable<Thing>, book: Book, today: string): readonly Overdue[] {
  const standing = standingOf(book);
  const found: Overdue[] = [];
  for (const thing of things) {
    const dueOn = thing.whose === 'ours' ? null : thing.whoseUntil;
    if (dueOn === null || dueOn >= today || !isKept(thing)) continue;
    const position = standing.positions.get(thing.id);
    const held =
      thing.kind === 'item'
        ? { number: 1, placeId: position?.placeId ?? null }
        : heldOf(thing, standing.levels.get(thing.id));
    if (held === null || (held.placeId !== null && held.placeId === thing.ownerPlaceId)) continue;
    const days = Math.round((Date.parse(today) - Date.parse(dueOn)) / DAY_MS);
    found.push({ thing, ...held, dueOn, days });
  }
  return found.sort((a, b) => b.days - a.days);
}

function heldOf(
  { ownerPlaceId }: Thing,
  levels: ReadonlyMap<PlaceId, number> | undefined,
): { readonly number: number; readonly placeId: PlaceId } | null {
  const ours = [...(levels ?? [])].filter(([placeId, number]) => number > 0 && placeId !== ownerPlaceId);
  const [most] = ours.sort((a, b) => b[1] - a[1]);
  if (most === undefined) return null;
  return { number: ours.reduce((sum, [, number]) => sum + number, 0), placeId: most[0] };
}
