// A compartment confirmed by looking, against its picture. It vouches for exactly the things that were named on the
// screen, so what is shown and what is written down come from one place.
import type { Fact } from './count-answers.ts';
import { answerHere, answerOf } from './count-answers.ts';
import type { Count, CountLine } from './count-shape.ts';
import type { PlaceId } from './ids.ts';

/** What a person is shown of one compartment before "by sight". Both lists are in the order of the count's lines. */
export interface SightPage {
  readonly placeId: PlaceId;
  /** What went out of it today, by name: this is read out first. */
  readonly wentOut: readonly CountLine[];
  /** What else nobody has spoken of yet. */
  readonly rest: readonly CountLine[];
  /** What is answered already, and counted gear that was counted short: by sight says nothing about these. */
  readonly settled: readonly CountLine[];
}

/** The page of one compartment, or of the vehicle itself. Empty lists for a place that is no compartment of it. */
export function sightPage(count: Count, placeId: PlaceId): SightPage {
  const here = count.lines.filter((line) => line.compartmentId === placeId);
  const named = here.filter((line) => line.state === 'open');
  return {
    placeId,
    wentOut: named.filter((line) => line.wentOut),
    rest: named.filter((line) => !line.wentOut),
    settled: here.filter((line) => line.state !== 'open'),
  };
}

/**
 * What "by sight" writes down: one line for each thing the page named, then the answer of the compartment. Counted
 * gear is said to be here in the number asked for, and what that brings back goes before it.
 */
export function answerBySight(count: Count, placeId: PlaceId): readonly Fact[] {
  const { wentOut, rest } = sightPage(count, placeId);
  const named = [...wentOut, ...rest].flatMap((line) => answerHere(count, line, 'by-sight'));
  return [...named, answerOf(count, placeId, 'by-sight')];
}
