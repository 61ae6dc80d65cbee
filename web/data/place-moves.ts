// Moving things about from the desk: what may go where, why it went there, and the lines of the ledger that say so.
import type { Fact } from '#domain/count-answers.ts';
import { type PlaceId, type ThingId, thingIdSchema } from '#domain/ids.ts';
import type { Movement, Reason } from '#domain/movement.ts';
import type { PlaceKind } from '#domain/place.ts';
import type { ThingKind } from '#domain/thing.ts';
import type { ContentLine, PlaceNode } from '#domain/where.ts';
import type { Refused } from './ask.ts';
import { chainFrom, type Places } from './places.ts';
import { voidOf, writeFacts } from './write.ts';

/** At most so many things are moved at once. */
export const MOVED_MAX = 10_000;
const LINES_PER_BATCH = 1_000;

/** Something that may be moved, and where from. */
export interface Movable {
  readonly thingId: ThingId;
  readonly kind: ThingKind;
  readonly name: string;
  /** How many are there: 1 for an item. */
  readonly number: number;
  readonly unit: string | null;
  /** Null where nobody put it down anywhere yet. */
  readonly fromId: PlaceId | null;
}

export const movableOf = ({ id, kind, name, number, unit, placeId }: ContentLine): Movable => ({
  thingId: id,
  kind,
  name,
  number,
  unit,
  fromId: placeId,
});

const movesAsThing = (kind: PlaceKind): boolean => kind === 'vehicle' || kind === 'container';

/** A vehicle or a container as the thing that it is; or why a place that stands still can't be moved, in words. */
export function movablePlace(place: PlaceNode, places: Places): Movable | string {
  if (movesAsThing(place.kind))
    return {
      thingId: thingIdSchema.parse(place.id),
      kind: 'item',
      name: place.name,
      number: 1,
      unit: null,
      fromId: place.insideId,
    };
  const outer = place.insideId === null ? undefined : places.byId.get(place.insideId);
  return outer
    ? `${place.name} is a fixed part of ${outer.name} and does not move. Move what is in it, or ${outer.name}.`
    : `${place.name} stands still. Move what is in it.`;
}

/**
 * Why these can't go there, in words; null where they can. The phone's rule (law 7): nothing goes into itself or into
 * something that is inside of it.
 */
export function findMoveFault(moved: readonly Movable[], to: PlaceNode, places: Places): string | null {
  const around = new Set<string>(chainFrom(to.id, places.byId).map(({ id }) => id));
  const looped = moved.find(({ thingId }) => around.has(thingId));
  if (looped)
    return String(looped.thingId) === String(to.id)
      ? `${looped.name} can’t go into itself. Choose another place.`
      : `${looped.name} can’t go into ${to.name}, because ${to.name} is inside it. Choose another place.`;
  if (moved.every(({ fromId }) => fromId === to.id))
    return moved.length === 1
      ? `${moved[0]?.name} is in ${to.name} already.`
      : `They are in ${to.name} already.`;
  return null;
}

/** Why a thing may be said to go to a place of this kind; the first is what is meant where nobody says more. */
export function reasonsFor(kind: PlaceKind): readonly [Reason, ...Reason[]] {
  if (kind === 'party') return ['with-somebody', 'lend', 'hand-over', 'rent-out'];
  if (kind === 'in-transit') return ['hand-over', 'with-somebody'];
  if (kind === 'location' || kind === 'hotel') return ['load-in', 'left-on-purpose'];
  return ['tidy'];
}

export interface MovePlan {
  readonly moved: readonly Movable[];
  readonly toId: PlaceId;
  readonly why: Reason;
  readonly spot: string | null;
  /** How many of a counted thing; all that are there where it is not said. */
  readonly numbers: ReadonlyMap<Movable, number>;
}

const CONTEXT = { stopId: null, round: null, note: null, check: null } as const;

/** One line for each thing that is not there already: a move of an item, a number of counted things. */
export function factsOfMove({ moved, toId, why, spot, numbers }: MovePlan): readonly Fact[] {
  return moved
    .filter(({ fromId }) => fromId !== toId)
    .map((one): Fact => {
      const { thingId, kind, fromId } = one;
      if (kind === 'item')
        return { kind: 'move', ...CONTEXT, thingId, code: null, toId, why, spot, sealUnbroken: false };
      const number = Math.max(1, numbers.get(one) ?? one.number);
      return { kind: 'quantity', ...CONTEXT, thingId, number, fromId, toId, why, spot };
    });
}

export interface Written {
  readonly lines: readonly Movement[];
  /** Why it stopped before the end. */
  readonly refused: Refused | null;
}

/** Writes any number of facts in parts; what was written before a refusal stands, and can be undone. */
export async function writeMany(
  facts: readonly Fact[],
  onProgress: (done: number) => void = () => {},
): Promise<Written> {
  const lines: Movement[] = [];
  for (let from = 0; from < facts.length; from += LINES_PER_BATCH) {
    onProgress(from);
    const written = await writeFacts(facts.slice(from, from + LINES_PER_BATCH));
    if (!written.ok) return { lines, refused: written };
    lines.push(...written.body);
  }
  return { lines, refused: null };
}

/** Takes lines back, the latest first. */
export const undoLines = (lines: readonly Movement[]): Promise<Written> =>
  writeMany([...lines].reverse().map(voidOf));

/** What was done, in a few words. */
export function sayMoved(moved: readonly Movable[], to: PlaceNode): string {
  const [first, ...others] = moved;
  if (first === undefined) return `Nothing was moved to ${to.name}.`;
  return others.length === 0 ? `${first.name}: to ${to.name}.` : `${moved.length} things: to ${to.name}.`;
}
