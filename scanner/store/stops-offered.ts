// Which stop the phone page opens on: a count that was walked away from, whatever its date; else today's; else none.
import { remembered } from '#domain/count-ground.ts';
import type { StopId } from '#domain/ids.ts';
import { livingLines } from '#domain/ledger.ts';
import type { MovementOf, Recorded } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import { firstKnownZone, workingDayBeganAt } from '#domain/working-day.ts';
import type { PhoneBook } from './phone-book.ts';

export interface OfferedStop {
  readonly stop: Stop;
  /** The latest round that was opened; null while nobody opened a count there. */
  readonly round: number | null;
  /** The latest round was opened and not closed. */
  readonly unfinished: boolean;
  readonly closed: boolean;
  /** When something was last written there, else when it began. UTC ms. */
  readonly lastAt: number;
  readonly isToday: boolean;
}

const DAY_MS = 86_400_000;

type Opened = Recorded<MovementOf<'open'>>;

interface Seen {
  readonly opened: Map<StopId, Opened>;
  readonly closed: Set<string>;
  readonly lastAt: Map<StopId, number>;
}

function lookThrough(lines: readonly Recorded[]): Seen {
  const seen: Seen = { opened: new Map(), closed: new Set(), lastAt: new Map() };
  for (const line of livingLines(lines)) {
    if (line.stopId === null) continue;
    seen.lastAt.set(line.stopId, line.at);
    if (line.kind === 'close') seen.closed.add(`${line.stopId}/${line.round}`);
    if (line.kind !== 'open') continue;
    const known = seen.opened.get(line.stopId);
    if (known === undefined || line.round > known.round) seen.opened.set(line.stopId, line);
  }
  return seen;
}

/** Every stop that can be gone on with: unfinished counts first, then today's; inside each, the latest first. */
export function stopsOffered(phone: PhoneBook, now: number): readonly OfferedStop[] {
  const seen = lookThrough([...phone.lines.values()]);
  // An outfit of some years has many stops in few zones.
  const dayBeganIn = remembered((zone: string) =>
    workingDayBeganAt(now, firstKnownZone([zone, phone.outfit.zone]), phone.outfit.dayTurnsMinutes),
  );
  const offered = [...phone.stops.values()].map((stop): OfferedStop => {
    const round = seen.opened.get(stop.id)?.round ?? null;
    const closed = round !== null && seen.closed.has(`${stop.id}/${round}`);
    const lastAt = seen.lastAt.get(stop.id) ?? stop.startsAt;
    const dayBeganAt = dayBeganIn(stop.zone);
    // What went into a hotel at night comes out in the morning, which is another working day.
    const since = stop.kind === 'hotel' && !closed ? dayBeganAt - DAY_MS : dayBeganAt;
    const isToday = stop.startsAt >= since || lastAt >= since;
    return { stop, round, unfinished: round !== null && !closed, closed, lastAt, isToday };
  });
  return offered
    .filter(({ unfinished, isToday }) => unfinished || isToday)
    .sort((a, b) => Number(b.unfinished) - Number(a.unfinished) || b.lastAt - a.lastAt);
}

/** The stop that the page opens on by itself; null where a new stop is what comes next. */
export function stopToOpen(offered: readonly OfferedStop[], now: number): OfferedStop | null {
  const unfinished = offered.find((known) => known.unfinished);
  return (
    unfinished ??
    offered.find((known) => known.isToday && !known.closed && known.stop.startsAt <= now) ??
    null
  );
}
