// What the ledger says of counted gear that was at one place aboard, in one count: hand counts, findings with a
// number, what went elsewhere by number, and what happened to the containers around that place.
import type { Finding, Moved } from './absence.ts';
import type { PlaceId, ThingId } from './ids.ts';
import type { Ground } from './item-evidence.ts';
import { putsAway, vouches } from './item-evidence.ts';
import { compareLines } from './ledger.ts';
import type { MovementOf, Recorded } from './movement.ts';

export type Handed = Recorded<MovementOf<'quantity'>>;
export type HandCount = Recorded<MovementOf<'hand-count'>>;
export type CountedEvent = Moved | Finding | Handed | HandCount;

export interface CountedEvidence {
  readonly state: 'open' | 'short' | 'aboard' | 'absent' | 'away';
  readonly by: CountedEvent | null;
  /** How many are asked for: what was there when the day began or came since, less what was put away. */
  readonly expected: number;
  /** What the latest hand count since opening leaves here; null without one. */
  readonly found: number | null;
  /** How many of the expected a standing finding says are absent. */
  readonly absent: number;
  /** How many were put away by lines since the count was opened. */
  readonly away: number;
  readonly missingSince: number | null;
  readonly wentOut: boolean;
  /** The latest line that took some of it out of this place. */
  readonly out: Handed | null;
}

/** One line of counted gear in a count: what is asked for, and where. */
export interface Asked {
  readonly thingId: ThingId;
  readonly placeId: PlaceId;
  /** How many were there when the working day began: 0 where a line brought some only later. */
  readonly began: number;
  /** The containers around the place, inner to outer, since it is asked for. */
  readonly within: readonly ThingId[];
  /** Some of them stood in a hotel then, and not aboard. */
  readonly isOut: boolean;
}

interface Followed {
  asked: number;
  found: number | null;
  foundBy: HandCount | null;
  /** Checked into another place aboard since opening. */
  elsewhere: number;
  elsewhereBy: Handed | null;
  absent: number;
  absentBy: Finding | null;
  missingSince: number | null;
  away: number;
  awayBy: Handed | Moved | null;
  awayTo: Set<PlaceId | null>;
  sealedBy: Moved | null;
  wentOut: boolean;
  out: Handed | null;
}

/**
 * Follows the lines of one counted thing at one place aboard. `events`: in the order of law 4: the thing's lines of any time, and since the day began the moves
 * of the containers around the place. A gap (counted fewer than asked for) is first explained by what was put away,
 * then by the number of a standing finding; what is left of it keeps the line short. Null: all of it was put away
 * before the count was opened.
 */
export function followCounted(
  asked: Asked,
  events: readonly CountedEvent[],
  ground: Ground,
): CountedEvidence | null {
  const it = startAt(asked.began);
  let next = 0;
  const followUntil = (until: number) => {
    for (; next < events.length; next += 1) {
      const event = events[next];
      if (event === undefined || event.at >= until) return;
      if (event.at > ground.closedAt && isSettled(it)) return;
      follow(it, asked, event, ground);
    }
  };
  followUntil(ground.dayBeganAt);
  Object.assign(it, startAt(asked.began), { missingSince: it.missingSince, wentOut: asked.isOut });
  followUntil(ground.openedAt);
  if (!beginCount(it)) return null;
  followUntil(Number.POSITIVE_INFINITY);
  const { found, missingSince, wentOut, out } = it;
  const expected = neededOf(it) || it.asked;
  return { ...judge(it), expected, found, away: Math.min(it.away, it.asked), missingSince, wentOut, out };
}

function isSettled(it: Followed): boolean {
  const { state } = judge(it);
  return state === 'aboard' || state === 'away';
}

function judge(it: Followed): Pick<CountedEvidence, 'state' | 'by' | 'absent'> {
  const needed = neededOf(it);
  if (needed === 0) return { state: 'away', by: it.awayBy, absent: 0 };
  const countedBy = it.foundBy ?? it.elsewhereBy;
  if (countedBy !== null) return judgeCounted(it, countedBy);
  if (it.absentBy !== null && it.absent >= needed) {
    return { state: 'absent', by: it.absentBy, absent: needed };
  }
  if (it.sealedBy === null) return { state: 'open', by: null, absent: it.absent };
  if (it.absentBy !== null) return { state: 'absent', by: it.absentBy, absent: it.absent };
  return { state: 'aboard', by: it.sealedBy, absent: 0 };
}

function judgeCounted(it: Followed, by: CountedEvent): Pick<CountedEvidence, 'state' | 'by' | 'absent'> {
  const gap = gapOf(it);
  if (gap > it.absent) return { state: 'short', by, absent: it.absent };
  if (it.absentBy === null) return { state: 'aboard', by, absent: 0 };
  if (gap > 0) return { state: 'absent', by: it.absentBy, absent: gap };
  // The latest of the two decides: counted in full first, then said to be missing.
  if (compareLines(it.absentBy, by) > 0) return { state: 'absent', by: it.absentBy, absent: it.absent };
  return { state: 'aboard', by, absent: 0 };
}

function startAt(began: number): Followed {
  return {
    asked: began,
    found: null,
    foundBy: null,
    elsewhere: 0,
    elsewhereBy: null,
    absent: 0,
    absentBy: null,
    missingSince: null,
    away: 0,
    awayBy: null,
    awayTo: new Set(),
    sealedBy: null,
    wentOut: false,
    out: null,
  };
}

// What was put away before opening is not asked for; absences carry over, hand counts and checks do not.
function beginCount(it: Followed): boolean {
  it.asked = neededOf(it);
  const carries = it.absentBy !== null && it.absentBy.finding !== 'not-ours';
  Object.assign(it, { found: null, foundBy: null, elsewhere: 0, elsewhereBy: null, sealedBy: null });
  Object.assign(it, { away: 0, awayBy: null });
  if (!carries) Object.assign(it, { absent: 0, absentBy: null });
  return it.asked > 0;
}

function neededOf(it: Followed): number {
  return Math.max(0, it.asked - it.away);
}

function gapOf(it: Followed): number {
  return Math.max(0, neededOf(it) - (it.found ?? 0) - it.elsewhere);
}

function follow(it: Followed, asked: Asked, event: CountedEvent, ground: Ground): void {
  const { thingId, placeId, within } = asked;
  const brought = ground.broughtBy(event.id, thingId, placeId);
  if (event.kind === 'absence') {
    if (event.toId === null || event.toId === placeId) followFinding(it, event);
  } else if (event.kind === 'hand-count') {
    if (event.toId === placeId) followHandCount(it, event);
  } else if (event.kind === 'quantity') {
    if (event.fromId === placeId) followOut(it, event, ground);
    else if (event.toId === placeId) followIn(it, event, brought);
  } else if (event.thingId !== null && within.includes(event.thingId)) {
    followContainer(it, thingId, event, ground);
    if (brought > 0) askForMore(it, brought);
  }
}

function followFinding(it: Followed, finding: Finding): void {
  it.absent = finding.number ?? Math.max(1, gapOf(it));
  it.absentBy = finding;
  it.missingSince = finding.finding === 'not-ours' ? null : (it.missingSince ?? finding.at);
}

function followHandCount(it: Followed, handCount: HandCount): void {
  Object.assign(it, { found: handCount.number, foundBy: handCount, elsewhere: 0, elsewhereBy: null });
  if (gapOf(it) === 0) Object.assign(it, { absent: 0, absentBy: null, missingSince: null });
}

function followOut(it: Followed, line: Handed, ground: Ground): void {
  const away = putsAway(line, line.toId, ground);
  const aboard = !away && line.toId !== null && ground.isAboard(line.toId, line.at);
  if (!away && !aboard && line.at > ground.closedAt) return;
  const unexplained = it.found === null ? 0 : Math.max(0, line.number - gapOf(it));
  if (it.found !== null) it.found = Math.max(0, it.found - (away || aboard ? unexplained : line.number));
  if (away) {
    it.away += line.number;
    it.awayBy = line;
    it.awayTo.add(line.toId);
  } else if (aboard) {
    if (vouches(line.check)) Object.assign(it, { elsewhere: it.elsewhere + line.number, elsewhereBy: line });
  } else {
    it.wentOut = true;
    it.sealedBy = null;
  }
  it.out = line;
}

function followIn(it: Followed, line: Handed, brought: number): void {
  const back = it.awayTo.has(line.fromId) ? Math.min(it.away, line.number) : 0;
  it.away -= back;
  if (brought > back) askForMore(it, brought - back);
  if (it.found !== null) it.found += line.number;
}

// What happened before the first of them came aboard is no matter of this count, but that some are missing.
function askForMore(it: Followed, number: number): void {
  if (it.asked === 0) Object.assign(it, startAt(number), { missingSince: it.missingSince });
  else it.asked += number;
}

function followContainer(it: Followed, thingId: ThingId, move: Moved, ground: Ground): void {
  const back = () => {
    if (it.awayBy?.kind === 'move') Object.assign(it, { away: 0, awayBy: null });
  };
  if (putsAway(move, move.toId, ground)) Object.assign(it, { away: it.asked, awayBy: move });
  else if (ground.isAboard(move.toId, move.at)) {
    back();
    if (ground.sealAnswersFor(move, thingId)) it.sealedBy = move;
  } else if (move.at <= ground.closedAt) {
    back();
    Object.assign(it, { found: null, foundBy: null, elsewhere: 0, elsewhereBy: null, sealedBy: null });
    it.wentOut = true;
  }
}
