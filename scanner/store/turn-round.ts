// Three different things "already there" in a row: the person is probably working the other way. Asks, and turns them.
import type { Fact } from '#domain/count-answers.ts';
import type { MovementId, ThingId } from '#domain/ids.ts';
import { type ScanContext, verdictOn } from './decide-verdict.ts';

export const ALREADY_IN_A_ROW = 3;

/** A scan whose verdict was "already there", and the line it wrote. */
export interface Already {
  readonly thingId: ThingId;
  readonly lineId: MovementId;
}

/**
 * The row after one more scan. A scan with any other verdict begins anew (`already` null); the same thing twice
 * counts once.
 */
export function followAlready(row: readonly Already[], already: Already | null): readonly Already[] {
  if (already === null) return [];
  if (row.some(({ thingId }) => thingId === already.thingId)) return row;
  return [...row, already].slice(-ALREADY_IN_A_ROW);
}

/** What turning a row round writes down: each of its lines is cancelled, and its thing goes the other way. */
export function turnRound(row: readonly Already[], turned: ScanContext): readonly Fact[] {
  const cancelled = row.map(({ thingId, lineId }): Fact => {
    return { kind: 'void', stopId: turned.stopId, round: null, note: 'turned round', voids: lineId, thingId };
  });
  const moved = row.flatMap(({ thingId, lineId }) => {
    const thing = turned.phone.things.get(thingId);
    const line = turned.phone.lines.get(lineId);
    const code = line?.kind === 'move' ? line.code : null;
    const verdict = thing === undefined ? null : verdictOn(thing, code, turned);
    return verdict !== null && 'facts' in verdict ? verdict.facts : [];
  });
  return [...cancelled, ...moved];
}
