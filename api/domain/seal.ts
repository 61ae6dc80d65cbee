// Law 8: sealing a container notes what is inside, and the seal answers for that until something contradicts it.
import type { Book } from './book.ts';
import type { MovementId, PersonId, ThingId } from './ids.ts';
import { livingLines } from './ledger.ts';
import type { Recorded } from './movement.ts';

export interface Seal {
  readonly containerId: ThingId;
  readonly at: number;
  readonly lineId: MovementId;
  readonly personId: PersonId | null;
  readonly contents: readonly ThingId[];
  /** The number on the tie, or what else witnesses that it stayed shut. */
  readonly tie: string | null;
}

function sealFrom(line: Extract<Recorded, { kind: 'seal' }>): Seal {
  const { at, id, personId, thingId, tie } = line;
  return { containerId: thingId, at, lineId: id, personId, contents: line.contents, tie };
}

/** A thing that was inside was met somewhere else, or another one was put in: it must have been open in between. */
function contradicts(line: Extract<Recorded, { kind: 'move' }>, seal: Seal): boolean {
  if (line.thingId === null) return false;
  const goesIn = line.toId.toString() === seal.containerId.toString();
  return seal.contents.includes(line.thingId) ? !goesIn : goesIn;
}

/**
 * The containers that are sealed, as of the lines with `at < before` (UTC ms, exclusive) or of all of them. A seal
 * opens by an `unseal`, by a later move of a thing that was inside to elsewhere, or by one that puts another thing in.
 */
export function sealsOf(book: Book, before = Number.POSITIVE_INFINITY): ReadonlyMap<ThingId, Seal> {
  const seals = new Map<ThingId, Seal>();
  for (const line of livingLines(book.lines)) {
    if (line.at >= before) break;
    if (line.kind === 'seal') seals.set(line.thingId, sealFrom(line));
    if (line.kind === 'unseal') seals.delete(line.thingId);
    if (line.kind !== 'move') continue;
    for (const seal of seals.values()) if (contradicts(line, seal)) seals.delete(seal.containerId);
  }
  return seals;
}
