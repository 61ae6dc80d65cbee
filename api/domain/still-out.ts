// The still-out-there list: everything not found yet, left, or with somebody, across all stops, until it is back or
// written off.
import { z } from 'zod';
import type { Missing, Past } from './absence.ts';
import { isSetAside, type Moved, missingAfter, wasShown } from './absence.ts';
import type { Book, Position } from './book.ts';
import { lineFinder, linesByThing, openingFinder } from './count-ground.ts';
import { URGENCIES } from './count-shape.ts';
import {
  movementIdSchema,
  type PlaceId,
  personIdSchema,
  placeIdSchema,
  stopIdSchema,
  type ThingId,
  thingIdSchema,
} from './ids.ts';
import { livingLines, type Standing, standingOf } from './ledger.ts';
import { isKept, withMarks } from './marks.ts';
import { type MovementOf, REASONS_AWAY, type Reason, type Recorded } from './movement.ts';
import { outThereOf, outThereSchema } from './out-there.ts';
import type { Place } from './place.ts';
import { missingPieces } from './still-out-pieces.ts';
import { type Thing, type ThingClass, thingKindSchema, whoseSchema } from './thing.ts';
import { compareRanked, urgencyOf } from './urgency.ts';

/** Why a thing is out. "Consumed" is not on the list: nobody waits for it. */
export const OUT_REASONS = [
  'not-found',
  'did-not-come',
  'left-on-purpose',
  'with-somebody',
  'lend',
  'hand-over',
  'rent-out',
] as const;
const outReasonSchema = z.enum(OUT_REASONS);

export const stillOutLineSchema = z.strictObject({
  thingId: thingIdSchema,
  kind: thingKindSchema,
  name: z.string(),
  whose: whoseSchema,
  /** How many of it: 1 for an item. */
  number: z.int(),
  why: outReasonSchema,
  /** The line that says so; null where only an older book knows that some are with a party. */
  lineId: movementIdSchema.nullable(),
  /** Since when, UTC ms, and how many whole days of 24 hours ago that was; null where it is not known. */
  since: z.int().nullable(),
  days: z.int().nullable(),
  /** Where it was last put down (or who has it), by whom, with the spot. */
  placeId: placeIdSchema.nullable(),
  spot: z.string().nullable(),
  personId: personIdSchema.nullable(),
  stopId: stopIdSchema.nullable(),
  note: z.string().nullable(),
  /** Counted gear that is missing: how many are really at that place, as far as lines say. Null for all else. */
  present: z.int().nullable(),
  /** Counted gear that is missing: pieces of that place that went in somewhere and still stand there by the ledger. */
  outThere: z.array(outThereSchema),
  urgency: z.enum(URGENCIES),
  forgotten: z.int(),
  valueRank: z.int(),
});
export type StillOutLine = z.infer<typeof stillOutLineSchema>;

export interface StillOutFacts {
  readonly book: Book;
  readonly places: ReadonlyMap<PlaceId, Place>;
  readonly things: ReadonlyMap<ThingId, Thing>;
  readonly classes: ReadonlyMap<string, ThingClass>;
  /** The present, UTC ms: days are counted up to it. */
  readonly now: number;
  /** When today's working day began; what is missing since before it comes first. Without it, all that is missing. */
  readonly dayBeganAt?: number;
}

type Out = Pick<
  StillOutLine,
  | 'number'
  | 'why'
  | 'lineId'
  | 'since'
  | 'placeId'
  | 'spot'
  | 'personId'
  | 'stopId'
  | 'note'
  | 'present'
  | 'outThere'
>;

const DAY_MS = 86_400_000;

/**
 * Everything that is still out there, the most urgent first (urgency.ts); what is missing since an earlier working
 * day before all else. A thing is missing from its earliest finding that nothing set aside until it is moved again;
 * it is left or with somebody while its latest line says so, unless that somebody is whose it is. Findings older than the book are known where it
 * brings their lines along.
 * `number` of counted gear: for what is missing the latest finding's, 1 where it named none; for what is elsewhere
 * what the place still holds of it; less what was written off by that finding. Never throws on any set of lines.
 */
export function stillOut(facts: StillOutFacts): readonly StillOutLine[] {
  const standing = standingOf(facts.book);
  const lines = livingLines(facts.book.lines);
  const past = { lineById: lineFinder(facts.book), openedAtOf: openingFinder(lines) };
  const ofThing = linesByThing(lines);
  const found: StillOutLine[] = [];
  for (const thing of facts.things.values()) {
    if (!isKept(thing) || thing.kind === 'consumable') continue;
    const own = ofThing(thing.id);
    const position = standing.positions.get(thing.id);
    const outs =
      thing.kind === 'item'
        ? itemOut(thing, own, position, past)
        : countedOut(thing, own, { ...facts, standing, past });
    for (const out of outs) found.push(lineOf(withMarks(thing, own), out, facts));
  }
  return found.sort((a, b) => compareRanked(rankedOf(a, facts), rankedOf(b, facts)));
}

function rankedOf(line: StillOutLine, { dayBeganAt = Number.POSITIVE_INFINITY }: StillOutFacts) {
  const isMissing = line.why === 'not-found' || line.why === 'did-not-come';
  return { ...line, missingBefore: isMissing && line.since !== null && line.since < dayBeganAt };
}

function lineOf(thing: Thing, out: Out, { classes, now }: StillOutFacts): StillOutLine {
  const kin = thing.classId === null ? undefined : classes.get(thing.classId);
  const days = out.since === null ? null : Math.max(0, Math.floor((now - out.since) / DAY_MS));
  return {
    thingId: thing.id,
    kind: thing.kind,
    name: thing.name,
    whose: thing.whose,
    ...out,
    days,
    urgency: urgencyOf(thing, kin),
    forgotten: kin?.forgotten ?? 0,
    valueRank: thing.valueRank,
  };
}

function itemOut(
  { ownerPlaceId }: Thing,
  own: readonly Recorded[],
  position: Position | undefined,
  past: Past,
): readonly Out[] {
  const missing = missingItem(own, past);
  if (missing !== null) return [missingOut(missing, 1, position ?? null, { present: null, outThere: [] })];
  const why = position === undefined ? null : outReasonOf(position.why);
  if (position === undefined || why === null || position.placeId === ownerPlaceId) return [];
  const line = own.find((known) => known.id === position.movementId);
  const { placeId, spot, personId, stopId, at: since, movementId: lineId } = position;
  return [
    {
      number: 1,
      why,
      lineId,
      since,
      placeId,
      spot,
      personId,
      stopId,
      note: line?.note ?? null,
      present: null,
      outThere: [],
    },
  ];
}

function missingOut(
  { since, by }: Missing,
  number: number,
  last: Position | null,
  there: Pick<Out, 'present' | 'outThere'>,
): Out {
  const why = by.finding === 'did-not-come' ? 'did-not-come' : 'not-found';
  return {
    number,
    why,
    lineId: by.id,
    since,
    placeId: last?.placeId ?? by.toId,
    spot: last?.spot ?? null,
    personId: last?.personId ?? by.personId,
    stopId: by.stopId,
    note: by.note,
    ...there,
  };
}

function outReasonOf(why: Reason): StillOutLine['why'] | null {
  const parsed = outReasonSchema.safeParse(why);
  return parsed.success ? parsed.data : null;
}

function missingItem(own: readonly Recorded[], past: Past): Missing | null {
  let missing: Missing | null = null;
  let lastScan: Moved | null = null;
  for (const line of own) {
    if (line.kind === 'absence' && !isSetAside(line, lastScan, past)) missing = missingAfter(line, missing);
    if (line.kind !== 'move') continue;
    if (line.check === 'scanned') lastScan = line;
    if (missing === null || !wasShown(missing.by, line, past)) missing = null;
  }
  return missing;
}

function* countedOut(
  thing: Thing,
  own: readonly Recorded[],
  facts: StillOutFacts & { readonly standing: Standing; readonly past: Past },
): Generator<Out> {
  const left = new Map(facts.standing.levels.get(thing.id));
  const isOut = outFinder(facts);
  for (const { missing, number, present } of missingPieces(thing.id, own, { ...facts, isOut })) {
    const off = thing.writtenOffPieces?.find((pieces) => pieces.lineId === missing.by.id);
    const still = number - (off?.number ?? 0);
    const outThere = missing.by.toId === null ? [] : [...outThereOf(missing.by.toId, own, isOut, left)];
    if (still > 0) yield missingOut(missing, still, null, { present, outThere });
  }
  for (const [placeId, number] of facts.standing.levels.get(thing.id) ?? []) {
    if (number <= 0) continue;
    const there = own.findLast((line) => line.kind === 'quantity' && line.toId === placeId);
    const why = there?.kind === 'quantity' ? outReasonOf(there.why) : heldByParty(placeId, facts);
    if (why === null || placeId === thing.ownerPlaceId) continue;
    const spot = there?.kind === 'quantity' ? there.spot : null;
    const { id: lineId = null, at: since = null, personId = null, stopId = null, note = null } = there ?? {};
    yield { number, why, lineId, since, placeId, spot, personId, stopId, note, present: null, outThere: [] };
  }
}

/** Whether a line only took pieces to where a job works or sleeps, or on the way; what is put away is not waited for. */
function outFinder({ places }: StillOutFacts) {
  return ({ toId, why }: MovementOf<'quantity'>): boolean => {
    const kind = toId === null ? undefined : places.get(toId)?.kind;
    return !REASONS_AWAY.includes(why) && (kind === 'location' || kind === 'hotel' || kind === 'in-transit');
  };
}

// An older book says how many are where and no longer why: what a party holds is with somebody.
function heldByParty(placeId: PlaceId, { places }: StillOutFacts): StillOutLine['why'] | null {
  return places.get(placeId)?.kind === 'party' ? 'with-somebody' : null;
}
