// A wrap sheet that was ticked by hand and is entered later: what the ticks say, and as of when they may say it.
import type { Fact } from './count-answers.ts';
import { answerHere, answerNumber, answerOf, findAbsent } from './count-answers.ts';
import type { Count, CountLine } from './count-shape.ts';
import type { PlaceId } from './ids.ts';
import type { Absence } from './movement.ts';

const MINUTE_MS = 60_000;

export type PaperTimeRefusal =
  | { readonly kind: 'paper-from-the-future'; readonly now: number }
  | { readonly kind: 'paper-before-opening'; readonly openedAt: number };

/**
 * The instant that the lines of a sheet are dated to, from the minute that was typed (its first instant). The minute
 * in which the count was opened means right after the opening, because a sheet can answer nothing that was not asked.
 * In this order: the minute has not begun yet · it ended before the count was opened.
 *
 * `typedAt`, `openedAt`, `now`: UTC ms; `openedAt` null while the sheet itself opens the count.
 * Source: law 4 (time); that a typed minute is its first instant is the project's own.
 */
export function paperTime(
  typedAt: number,
  { openedAt, now }: { readonly openedAt: number | null; readonly now: number },
): { readonly at: number } | { readonly refusal: PaperTimeRefusal } {
  if (typedAt > now) return { refusal: { kind: 'paper-from-the-future', now } };
  if (openedAt === null || typedAt > openedAt) return { at: typedAt };
  if (typedAt + MINUTE_MS <= openedAt) return { refusal: { kind: 'paper-before-opening', openedAt } };
  return { at: openedAt + 1 };
}

/** What stands beside one line of the sheet: it is here (of counted gear so many), or a finding of absence. */
export type PaperTick = { readonly said: 'here'; readonly number?: number } | { readonly said: Absence };

/** The ticks of a sheet: by `paperKeyOf` of a line, and by compartment. */
export interface PaperTicks {
  readonly lines: ReadonlyMap<string, PaperTick>;
  readonly compartments: ReadonlyMap<PlaceId, 'on-paper' | 'not-opened'>;
}

/** Names a line of a count: a thing, and for counted gear the place of its number. */
export const paperKeyOf = (line: Pick<CountLine, 'thingId' | 'placeId'>): string =>
  `${line.thingId}/${line.placeId ?? ''}`;

/**
 * What a ticked sheet writes down, as of `at` (UTC ms): the lines in the order of the count, then the compartments in
 * theirs. A tick is a check "on paper" and goes to where the thing belongs in this count. A finding names no line of
 * the ledger that is later than the sheet, because its finder was not shown it (law 9).
 */
export function factsOfPaper(count: Count, ticks: PaperTicks, at: number): readonly Fact[] {
  const ofLines = count.lines.flatMap((line) => {
    const tick = ticks.lines.get(paperKeyOf(line));
    return tick === undefined ? [] : factsOfTick(count, asKnownThen(line, at), tick);
  });
  const ofCompartments = count.compartments.flatMap(({ placeId }) => {
    const check = ticks.compartments.get(placeId);
    return check === undefined ? [] : [answerOf(count, placeId, check)];
  });
  return [...ofLines, ...ofCompartments];
}

// What went out after the sheet was ticked has not come back by that tick.
function asKnownThen(line: CountLine, at: number): CountLine {
  return line.last !== null && line.last.at > at ? { ...line, last: null, outThere: [] } : line;
}

function factsOfTick(count: Count, line: CountLine, tick: PaperTick): readonly Fact[] {
  if (tick.said !== 'here') return [findAbsent(count, line, tick.said)];
  if (tick.number === undefined || line.placeId === null) return answerHere(count, line, 'on-paper');
  return answerNumber(count, line, tick.number, 'on-paper');
}
