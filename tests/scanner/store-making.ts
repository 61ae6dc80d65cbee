// What the tests of the phone's store make besides an outfit.
import type { FactOf } from '#domain/count-answers.ts';
import type { StopId } from '#domain/ids.ts';

/** The close line of a count of which nothing else matters. */
export function closeLine(stopId: StopId, round: number): FactOf<'close'> {
  const sums = { expected: 0, aboard: 0, notFound: 0, away: 0, compartments: 0, notOpened: 0 };
  return { kind: 'close', stopId, round, note: null, lines: [], sums };
}
