// What a thing of the catalogue is to a count: whether it can be asked for, and what marks the ledger puts on it.
import type { Recorded } from './movement.ts';
import type { Thing } from './thing.ts';

/** A mark that was made with no words still has to be told from no mark. */
const WITHOUT_WORDS = 'faulty';

/**
 * A thing as the latest living marks leave it, beyond what the catalogue knew when it was read. `lines`: those of this
 * thing, living and in the order of law 4.
 */
export function withMarks(thing: Thing, lines: readonly Recorded[]): Thing {
  // A copy of every thing of a large outfit would be most of the cost of a count.
  if (!lines.some((line) => line.kind === 'mark')) return thing;
  let { faulty, holdsRushes } = thing;
  for (const line of lines) {
    if (line.kind !== 'mark') continue;
    if (line.mark === 'holds-rushes') holdsRushes = line.on;
    else faulty = line.on ? (line.note ?? WITHOUT_WORDS) : null;
  }
  return { ...thing, faulty, holdsRushes };
}

/** Whether a thing can be asked for at all: it was not written off, and it is not another entry for the same thing. */
export function isKept(thing: Pick<Thing, 'writtenOff' | 'mergedIntoId'>): boolean {
  return !thing.writtenOff && thing.mergedIntoId === null;
}
