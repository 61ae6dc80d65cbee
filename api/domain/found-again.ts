// What the desk writes down when something that was out there is found, given back, or gone for good: facts of the ledger,
// before their stamp.
import type { Fact } from './count-answers.ts';
import type { PlaceId } from './ids.ts';
import type { OutLine } from './out-line.ts';
import { takeOut } from './out-there.ts';

const CONTEXT = { stopId: null, round: null } as const;
const FOUND = { ...CONTEXT, note: 'found', check: 'seen', why: 'tidy' } as const;

/** Whether a line is about pieces of counted gear that are missing from a place. */
export const isMissingPieces = (line: Pick<OutLine, 'present'>): boolean => line.present !== null;

/** Where an item goes that is found, or pieces that were elsewhere; `number` for counted gear, at most the line's. */
export interface FoundAt {
  readonly toId: PlaceId;
  readonly spot: string | null;
  readonly number?: number;
}

/** It was seen again and is there now: a move, or for counted gear so many from where they were. */
export function foundAt(line: OutLine, { toId, spot, number = line.number }: FoundAt): readonly Fact[] {
  const { thingId, placeId } = line;
  const evidence = { ...FOUND, spot, thingId, toId };
  if (line.kind === 'item') return [{ kind: 'move', ...evidence, code: null, sealUnbroken: false }];
  return [{ kind: 'quantity', ...evidence, number: Math.min(number, line.number), fromId: placeId }];
}

/** How many there are at the place of missing pieces once all of them are back. */
export function allBack({ present, number, outThere }: OutLine): number {
  const standing = outThere.reduce((sum, out) => sum + out.number, 0);
  return Math.max(0, present ?? 0) + Math.max(number, standing);
}

/**
 * Missing pieces were found: so many are at their place now, and as many of those that stood where they went in are
 * brought back first. A finding that names no place can't be counted back, so it is taken back itself. `now`: 0 or more.
 */
export function countedBack(line: OutLine, now: number): readonly Fact[] {
  const { thingId, placeId, lineId, outThere, present } = line;
  if (placeId === null) {
    if (lineId === null) return [];
    return [{ kind: 'void', ...CONTEXT, note: 'found', voids: lineId, thingId }];
  }
  const back = takeOut(outThere, now - (present ?? 0)).map((out): Fact => {
    const from = { number: out.number, fromId: out.placeId };
    return { kind: 'quantity', ...FOUND, spot: null, thingId, ...from, toId: placeId };
  });
  const count = { thingId, toId: placeId, number: now, check: 'by-number' as const, note: 'found' };
  return [...back, { kind: 'hand-count', ...CONTEXT, ...count }];
}

/** Everything of a line is back where it lives; null where nobody said where that is. */
export function foundAtHome(line: OutLine): readonly Fact[] | null {
  if (isMissingPieces(line)) return countedBack(line, allBack(line));
  return line.homeId === null ? null : foundAt(line, { toId: line.homeId, spot: null });
}

/** A thing that is not ours went back to its owner; null where nobody said whose it is. */
export function givenBack(line: OutLine): readonly Fact[] | null {
  const { thingId, ownerPlaceId, placeId, number } = line;
  if (ownerPlaceId === null || isMissingPieces(line)) return null;
  const how = { ...CONTEXT, note: 'given back', check: null, why: 'hand-over', spot: null } as const;
  if (line.kind === 'item')
    return [{ kind: 'move', ...how, thingId, code: null, toId: ownerPlaceId, sealUnbroken: false }];
  return [{ kind: 'quantity', ...how, thingId, number, fromId: placeId, toId: ownerPlaceId }];
}

/**
 * What a write-off of so many pieces says in the ledger besides: pieces that stand somewhere leave it. An item has one
 * record for all of it, and missing pieces stand nowhere, so these need no line.
 */
export function goneForGood(line: OutLine, number: number): readonly Fact[] {
  const { thingId, placeId } = line;
  if (line.kind === 'item' || isMissingPieces(line) || placeId === null) return [];
  const how = { ...CONTEXT, note: 'written off', check: null, why: 'consumed', spot: null } as const;
  return [{ kind: 'quantity', ...how, thingId, number, fromId: placeId, toId: null }];
}
