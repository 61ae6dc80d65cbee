// What the ledger says of one expected item in one count: its own lines and those of the containers it was in,
// followed in the order of law 4.
import type { Finding, Missing, Moved, Past } from './absence.ts';
import { isSetAside, missingAfter, wasShown } from './absence.ts';
import type { PlaceId, ThingId } from './ids.ts';
import { compareLines } from './ledger.ts';
import type { Check } from './movement.ts';
import { REASONS_AWAY } from './movement.ts';

/** What following the lines of a count needs to know of its vehicle, its times and the chains of places. */
export interface Ground extends Past {
  readonly dayBeganAt: number;
  readonly openedAt: number;
  /** When it was closed: what went out later does not reopen it. Infinity while it is open. */
  readonly closedAt: number;
  /** Whether a place is aboard the vehicle; after the closing as known now, until then as known at the closing. */
  readonly isAboard: (placeId: PlaceId, at: number) => boolean;
  /** Whether a place is in a store or with a party: what was brought there before opening is not asked for. */
  readonly isAtStoreOrParty: (placeId: PlaceId) => boolean;
  /** The containers around a place, itself included, inner to outer, up to the first place that is none. */
  readonly containersAround: (placeId: PlaceId, at: number) => readonly ThingId[];
  /** How many of a counted thing a line brought to a place aboard before the count was opened; else 0. */
  readonly broughtBy: (lineId: string, thingId: ThingId, placeId: PlaceId) => number;
  /** Whether this move of a sealed container, found unbroken, answers for a thing that its seal noted. */
  readonly sealAnswersFor: (move: Moved, thingId: ThingId) => boolean;
}

export interface ItemEvidence {
  readonly state: 'open' | 'aboard' | 'absent' | 'away';
  /** The line that decides; a container's move where the container decides; null while open. */
  readonly by: Moved | Finding | null;
  readonly missingSince: number | null;
  readonly wentOut: boolean;
}

interface Followed {
  state: ItemEvidence['state'];
  by: Moved | Finding | null;
  missing: Missing | null;
  lastScan: Moved | null;
  within: readonly ThingId[];
  wentOut: boolean;
}

/** Whether a check stands for having had the thing itself before one's eyes, and not its container or nothing. */
export function vouches(check: Check | null): check is Exclude<Check, 'with-container' | 'not-opened'> {
  return check !== null && check !== 'with-container' && check !== 'not-opened';
}

/** Whether a line put a thing away from what a count asks for: by its reason, or before opening by where it went. */
export function putsAway(
  move: Pick<Moved, 'why' | 'at'>,
  toId: PlaceId | null,
  ground: Pick<Ground, 'openedAt' | 'isAtStoreOrParty'>,
): boolean {
  if (REASONS_AWAY.includes(move.why)) return true;
  return move.at < ground.openedAt && toId !== null && ground.isAtStoreOrParty(toId);
}

/** Since when an item is asked for. */
export interface ItemStart {
  /** The containers around it then, inner to outer. */
  readonly within: readonly ThingId[];
  /** The line that brought it aboard; null when it is asked for since the working day began. */
  readonly after: { readonly at: number; readonly id: string } | null;
  /** It stood in a hotel then, and not aboard. */
  readonly isOut: boolean;
}

/**
 * Follows the lines of one item that was aboard when the working day began, or came aboard since. `events`: in the
 * order of law 4, its own moves and findings of any time, and since the day began the moves of containers it may
 * have been in. Null: it was put away before the count was opened, so it is not asked for.
 */
export function followItem(
  thingId: ThingId,
  start: ItemStart,
  events: readonly (Moved | Finding)[],
  ground: Ground,
): ItemEvidence | null {
  const it: Followed = { state: 'open', by: null, missing: null, lastScan: null, within: [], wentOut: false };
  let next = 0;
  const followWhile = (isMeant: (event: Moved | Finding) => boolean) => {
    for (; next < events.length; next += 1) {
      const event = events[next];
      if (event === undefined || !isMeant(event)) return;
      if (event.at > ground.closedAt && (it.state === 'aboard' || it.state === 'away')) return;
      follow(it, thingId, event, ground);
    }
  };
  const { within, after, isOut } = start;
  followWhile((event) => (after === null ? event.at < ground.dayBeganAt : compareLines(event, after) <= 0));
  beginDay(it, within, isOut);
  followWhile((event) => event.at < ground.openedAt);
  if (it.state === 'away') return null;
  beginCount(it);
  followWhile(() => true);
  return { state: it.state, by: it.by, missingSince: it.missing?.since ?? null, wentOut: it.wentOut };
}

function beginDay(it: Followed, within: readonly ThingId[], isOut: boolean): void {
  settle(it, 'open', null);
  it.within = within;
  it.wentOut = isOut;
}

// Absences of an earlier stop of the same working day carry over; checks do not, and "not ours" is asked again.
function beginCount(it: Followed): void {
  const carries = it.state === 'absent' && it.missing !== null;
  if (!carries) settle(it, 'open', null);
}

function follow(it: Followed, thingId: ThingId, event: Moved | Finding, ground: Ground): void {
  if (event.kind === 'absence') followFinding(it, event, ground);
  else if (event.thingId === thingId) followOwnMove(it, event, ground);
  else if (event.thingId !== null && it.within.includes(event.thingId)) {
    followContainer(it, thingId, event, ground);
  }
}

function followFinding(it: Followed, finding: Finding, ground: Ground): void {
  if (isSetAside(finding, it.lastScan, ground)) return;
  it.missing = missingAfter(finding, it.missing);
  settle(it, 'absent', finding);
}

function followOwnMove(it: Followed, move: Moved, ground: Ground): void {
  const away = putsAway(move, move.toId, ground);
  const aboard = !away && ground.isAboard(move.toId, move.at);
  if (!away && !aboard && move.at > ground.closedAt) return;
  if (move.check === 'scanned') it.lastScan = move;
  it.within = ground.containersAround(move.toId, move.at);
  it.wentOut ||= move.why === 'load-in' || (!away && !aboard);
  const finding = it.by?.kind === 'absence' ? it.by : it.missing?.by;
  const stands = finding !== undefined && wasShown(finding, move, ground);
  // A finding of another day answers no line of this count, so it keeps no line of it from its answer either.
  if (stands && it.state === 'absent') return;
  if (!stands) it.missing = null;
  if (away) settle(it, 'away', move);
  else if (aboard && vouches(move.check)) settle(it, 'aboard', move);
  else if (!aboard || it.state !== 'aboard') settle(it, 'open', null);
}

// What happens to a container happens to its contents, but it never finds what was said to be missing.
function followContainer(it: Followed, thingId: ThingId, move: Moved, ground: Ground): void {
  const viaContainer = it.state === 'away' && it.by?.thingId !== thingId;
  if (putsAway(move, move.toId, ground)) {
    if (it.state === 'open' || it.state === 'aboard') settle(it, 'away', move);
  } else if (ground.isAboard(move.toId, move.at)) {
    if (viaContainer) settle(it, 'open', null);
    if (it.state === 'open' && ground.sealAnswersFor(move, thingId)) settle(it, 'aboard', move);
  } else if (move.at <= ground.closedAt) {
    it.wentOut = true;
    if (it.state === 'aboard' || viaContainer) settle(it, 'open', null);
  }
}

function settle(it: Followed, state: Followed['state'], by: Followed['by']): void {
  it.state = state;
  it.by = by;
}
