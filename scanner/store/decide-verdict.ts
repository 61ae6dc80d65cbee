// The answer to one scan, from what the phone knows. It decides and writes nothing: the facts of a verdict are written
// down by the caller, and the sound comes after that.
import { wouldLoop } from '#domain/chain.ts';
import { type Fact, type FactOf, homeAboard } from '#domain/count-answers.ts';
import { chainsOver } from '#domain/count-ground.ts';
import type { PlaceId, StopId, ThingId } from '#domain/ids.ts';
import { vouches } from '#domain/item-evidence.ts';
import { REASONS_AWAY } from '#domain/movement.ts';
import { parseScannedText, readCode } from '#domain/scanned-text.ts';
import type { TagCode } from '#domain/tag-code.ts';
import type { Thing } from '#domain/thing.ts';
import type { CodeTarget, PhoneBook } from './phone-book.ts';

export type Mode = 'going-in' | 'aboard';

export interface ScanContext {
  readonly phone: PhoneBook;
  readonly mode: Mode;
  readonly stopId: StopId;
  /** Where the stop is: what goes in goes there. */
  readonly stopPlaceId: PlaceId;
  readonly round: number | null;
  /** When the count was opened, UTC ms; null while nobody opened it. */
  readonly openedAt: number | null;
  readonly vehicleId: PlaceId;
  /** Whether the count asks for this thing. */
  readonly isAsked: (thingId: ThingId) => boolean;
}

/**
 * What a scan comes to. Where there are `facts` they are written down at once, except for "somebody else's" and
 * "unknown", whose facts wait for a tap.
 */
export type Verdict =
  | {
      readonly kind: 'aboard' | 'already-aboard' | 'gone-in' | 'already-in';
      readonly thing: Thing;
      readonly facts: readonly Fact[];
    }
  | { readonly kind: 'somebody-elses'; readonly thing: Thing; readonly facts: readonly Fact[] }
  | { readonly kind: 'unknown'; readonly code: string; readonly facts: readonly FactOf<'move'>[] }
  | { readonly kind: 'bad-code'; readonly code: string; readonly candidates: readonly TagCode[] }
  | { readonly kind: 'which'; readonly code: string; readonly things: readonly Thing[] }
  | { readonly kind: 'how-many'; readonly thing: Thing }
  | { readonly kind: 'place'; readonly placeId: PlaceId }
  | { readonly kind: 'inside-itself'; readonly thing: Thing }
  | { readonly kind: 'unreadable' };

/** Decides on a text from the camera, a reader or the keyboard. A text that is known as it stands goes first. */
export function decideVerdict(text: string, typed: boolean, context: ScanContext): Verdict {
  const scanned = parseScannedText(text);
  if (scanned === null) return { kind: 'unreadable' };
  const { codes } = context.phone;
  const asItStands = codes.get(scanned) ?? codes.get(scanned.toUpperCase());
  if (asItStands !== undefined) return onTargets(scanned, asItStands, context);
  const read = readCode(scanned, { typed, known: (code) => codes.has(code) });
  const targets = codes.get(read.code);
  if (targets !== undefined) return onTargets(read.code, targets, context);
  if (read.kind === 'bad-check-characters') {
    return { kind: 'bad-code', code: read.code, candidates: read.candidates };
  }
  return onUnknown(read.code, context);
}

function onUnknown(code: string, context: ScanContext): Verdict {
  return { kind: 'unknown', code, facts: [moveOf(null, code, destinationOf(null, context), context)] };
}

function onTargets(code: string, targets: readonly CodeTarget[], context: ScanContext): Verdict {
  const [only, ...others] = targets;
  if (only?.kind === 'place' && others.length === 0) return { kind: 'place', placeId: only.id };
  const things = targets.flatMap((target) => {
    const thing = target.kind === 'thing' ? context.phone.things.get(target.id) : undefined;
    return thing === undefined ? [] : [thing];
  });
  const [thing] = things;
  if (thing === undefined) return onUnknown(code, context);
  if (things.length > 1) return { kind: 'which', code, things };
  return verdictOn(thing, code, context);
}

/** Decides on a thing that is known, by its code or because it was picked from a list (then `code` is null). */
export function verdictOn(thing: Thing, code: string | null, context: ScanContext): Verdict {
  const { phone, mode, vehicleId } = context;
  if (thing.kind !== 'item') return { kind: 'how-many', thing };
  const own = phone.places.get(vehicleId);
  if (own?.thingId === thing.id) return { kind: 'place', placeId: vehicleId };
  const toId = destinationOf(thing, context);
  if (wouldLoop(thing.id, toId, { places: phone.places, history: phone.standing.history })) {
    return { kind: 'inside-itself', thing };
  }
  const facts = [moveOf(thing, code, toId, context)];
  if (mode === 'going-in') return { kind: isIn(thing, context) ? 'already-in' : 'gone-in', thing, facts };
  if (isAnsweredAboard(thing, context)) return { kind: 'already-aboard', thing, facts };
  const isGuest = thing.whose !== 'ours' && !context.isAsked(thing.id) && !isAboard(thing, context);
  return { kind: isGuest ? 'somebody-elses' : 'aboard', thing, facts };
}

function moveOf(
  thing: Thing | null,
  code: string | null,
  toId: PlaceId,
  { mode, stopId, round }: ScanContext,
): FactOf<'move'> {
  return {
    kind: 'move',
    stopId,
    round: mode === 'aboard' ? round : null,
    note: null,
    check: code === null ? 'seen' : 'scanned',
    why: mode === 'aboard' ? 'wrap' : 'load-in',
    spot: null,
    thingId: thing?.id ?? null,
    code,
    toId,
    sealUnbroken: false,
  };
}

const positionOf = (thing: Thing, { phone }: ScanContext) => phone.standing.positions.get(thing.id);

function chainsOf({ phone }: ScanContext) {
  return chainsOver(phone.places, phone.standing);
}

function isIn(thing: Thing, context: ScanContext): boolean {
  return positionOf(thing, context)?.placeId === context.stopPlaceId;
}

function isAboard(thing: Thing, context: ScanContext): boolean {
  const position = positionOf(thing, context);
  if (position === undefined || REASONS_AWAY.includes(position.why)) return false;
  return chainsOf(context).holds(position.placeId, context.vehicleId);
}

/** Its latest line was made in this count, by a check of the thing itself, and has it aboard. */
function isAnsweredAboard(thing: Thing, context: ScanContext): boolean {
  const position = positionOf(thing, context);
  if (position === undefined || context.openedAt === null || position.at < context.openedAt) return false;
  const line = context.phone.lines.get(position.movementId);
  return line?.kind === 'move' && vouches(line.check) && isAboard(thing, context);
}

/** Where the scan puts a thing. What the ledger already has aboard stays where it is; the rest goes to its home. */
function destinationOf(thing: Thing | null, context: ScanContext): PlaceId {
  if (context.mode === 'going-in') return context.stopPlaceId;
  if (thing === null) return context.vehicleId;
  const position = positionOf(thing, context);
  if (position !== undefined && isAboard(thing, context)) return position.placeId;
  const home = homeAboard(thing, context.vehicleId, chainsOf(context));
  const { places, standing } = context.phone;
  return wouldLoop(thing.id, home, { places, history: standing.history }) ? context.vehicleId : home;
}
