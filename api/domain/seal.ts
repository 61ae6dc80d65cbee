// Which containers answer for what is inside them (law 8). A seal is a statement; the ledger may contradict it.
import type { Book, Position } from './book.ts';
import type { MovementId, PersonId, PlaceId, ThingId } from './ids.ts';
import { compareLines, livingLines } from './ledger.ts';
import type { MovementOf, Recorded } from './movement.ts';

export interface Seal {
  readonly containerId: ThingId;
  readonly lineId: MovementId;
  readonly at: number;
  readonly personId: PersonId | null;
  /** What was inside when it was sealed. */
  readonly contents: readonly ThingId[];
  /** The number on the tie, or whatever else the witness is known by. */
  readonly tie: string | null;
}

type SealLine = Recorded<MovementOf<'seal'>>;

/**
 * The containers that are sealed, by their thing. A container is sealed by its latest living `seal` by (at, id)
 * unless a later `unseal` opens it, or a later line takes one of the things it notes elsewhere: a move to a place
 * that is neither the container nor one of those things, or a number of them that leaves it. Opened, it stays
 * open until it is sealed anew. A drawer that is a fixed place inside the container counts as elsewhere, which
 * errs on the side of asking. With `before` (UTC ms) only lines with `at < before` count.
 * A seal from before the book begins counts when its line stands beside the others; of what happened between it and
 * the beginning, only the positions of the base can contradict it. One that is not there is not seen: then the
 * contents are asked for.
 */
export function sealsOf(book: Book, before?: number): ReadonlyMap<ThingId, Seal> {
  const until = before ?? Number.POSITIVE_INFINITY;
  const lines = livingLines(book.lines).filter((line) => line.at < until);
  const open = new Map<ThingId, SealLine>();
  for (const line of lines) {
    if (line.kind === 'seal') open.set(line.thingId, line);
    if (line.kind === 'unseal') open.delete(line.thingId);
  }
  const byContent = new Map<ThingId, SealLine[]>();
  for (const seal of open.values()) {
    for (const thingId of seal.contents) byContent.set(thingId, [...(byContent.get(thingId) ?? []), seal]);
  }
  for (const line of [...movesIn(book.base, until), ...lines]) {
    if ((line.kind !== 'move' && line.kind !== 'quantity') || line.thingId === null) continue;
    for (const seal of byContent.get(line.thingId) ?? []) {
      if (compareLines(line, seal) > 0 && leaves(line, seal)) open.delete(seal.thingId);
    }
  }
  return new Map([...open].map(([containerId, line]) => [containerId, sealFrom(line)]));
}

type Taken =
  | { readonly kind: 'move'; readonly toId: PlaceId }
  | { readonly kind: 'quantity'; readonly fromId: PlaceId | null; readonly toId: PlaceId | null };

/** Positions from before the book begins, as the moves they came from. */
function movesIn(base: readonly Position[], until: number) {
  return base
    .filter(({ at }) => at < until)
    .map(({ thingId, placeId: toId, at, movementId: id }) => ({
      kind: 'move' as const,
      thingId,
      toId,
      at,
      id,
    }));
}

function leaves(line: Taken, seal: SealLine): boolean {
  // A container is a thing and a place under one id.
  const inside = (id: string | null) =>
    id !== null && (id === seal.thingId || seal.contents.some((thingId) => thingId === id));
  if (line.kind === 'quantity' && !inside(line.fromId)) return false;
  return !inside(line.toId);
}

function sealFrom(line: SealLine): Seal {
  const { thingId: containerId, id: lineId, at, personId, contents, tie } = line;
  return { containerId, lineId, at, personId, contents, tie };
}
