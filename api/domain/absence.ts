// When a finding of absence stands (law 9). It is no movement: the position stays, the thing is "missing since".
import type { MovementId, StopId } from './ids.ts';
import { compareLines } from './ledger.ts';
import type { MovementOf, Recorded } from './movement.ts';

export type Moved = Recorded<MovementOf<'move'>>;
export type Finding = Recorded<MovementOf<'absence'>>;

/** What one has to be able to look up to judge a finding. */
export interface Past {
  /** Any line of the book, whether it still lives or a void names it. */
  readonly lineById: (id: MovementId) => Recorded | undefined;
  /** When the count of this stop and round was opened; null when nobody opened it. */
  readonly openedAtOf: (stopId: StopId, round: number) => number | null;
}

/** That a thing is missing: since the earliest finding that nothing has set aside, and the latest one that says so. */
export interface Missing {
  readonly since: number;
  readonly by: Finding;
}

/**
 * Whether the finder was shown this line of the thing, so that the finding stands although the line does: it names
 * the line itself, or one that came after it.
 */
export function wasShown(finding: Finding, line: Recorded, past: Past): boolean {
  if (finding.shownId === null) return false;
  if (finding.shownId === line.id) return true;
  const shown = past.lineById(finding.shownId);
  return shown !== undefined && compareLines(line, shown) <= 0;
}

/**
 * Whether a scan sets a finding aside although it came before it: the thing was scanned since the count of the
 * finding was opened, by somebody of whom the finder did not know. `lastScan` is the latest scan before the finding.
 */
export function isSetAside(finding: Finding, lastScan: Moved | null, past: Past): boolean {
  if (lastScan === null || finding.stopId === null || finding.round === null) return false;
  const openedAt = past.openedAtOf(finding.stopId, finding.round);
  return openedAt !== null && lastScan.at >= openedAt && !wasShown(finding, lastScan, past);
}

/** What is missing after one more finding that stands. "Not ours" says that nothing is missed. */
export function missingAfter(finding: Finding, before: Missing | null): Missing | null {
  if (finding.finding === 'not-ours') return null;
  return { since: before?.since ?? finding.at, by: finding };
}
