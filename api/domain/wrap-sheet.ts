// The wrap sheet: one page for a dead phone. What is out, what must not be lost, the compartments, the last look, and
// room to write. It never grows over its page: what does not fit is summed in words. It names no values and no addresses.
import { z } from 'zod';
import { isOpen } from './count-compartments.ts';
import type { Count, CountLine } from './count-shape.ts';
import type { PlaceId } from './ids.ts';
import type { StillOutLine } from './still-out.ts';
import { WHOSE } from './thing.ts';

/** Lines of one column that the page has room for, between its head and the room to write; two columns stand on it. */
export const SHEET_CELLS_MAX = 50;
/** What must not be lost is sure of so many of them; where little is out it gets more, and room to write stays. */
export const RISKY_SURE = 14;
export const RISKY_MAX = 26;
/** The compartments take no more than this. */
export const COMPARTMENTS_MAX = 18;
/** Places of the last look; they stand in three columns. */
export const LAST_LOOK_MAX = 12;
/** Places that a sum names before it says "elsewhere". */
const PLACES_NAMED_MAX = 3;
const OFTEN_FORGOTTEN = 2;

const WHYS = ['missing', 'holds-rushes', ...WHOSE, 'often-forgotten'] as const;

const rowSchema = z.strictObject({
  /** Tells a row of the sheet from every other one. */
  key: z.string(),
  name: z.string(),
  /** Counted gear: how many are asked for. Null for an item. */
  number: z.int().nullable(),
  spot: z.string().nullable(),
  /** The place where it was last put down, by name; empty where that is not known. */
  place: z.string(),
  /** Why it stands here beside being out; null where being out is all. */
  why: z.enum(WHYS).nullable(),
});
export type SheetRow = z.infer<typeof rowSchema>;

/** So many rows did not fit, and so many of them are at the places named here; the others are elsewhere. */
const restSchema = z.strictObject({
  rows: z.int(),
  at: z.array(z.strictObject({ place: z.string(), rows: z.int() })),
});
export type SheetRest = z.infer<typeof restSchema>;
const partSchema = z.strictObject({ rows: z.array(rowSchema), rest: restSchema });

const compartmentSchema = z.strictObject({
  key: z.string(),
  name: z.string(),
  /** Pieces that are expected in it. */
  pieces: z.int(),
  /** Lines that nobody has answered for. */
  open: z.int(),
});
export type SheetCompartment = z.infer<typeof compartmentSchema>;

export const wrapSheetSchema = z.strictObject({
  outfitName: z.string(),
  stopName: z.string(),
  jobName: z.string().nullable(),
  vehicleName: z.string(),
  zone: z.string(),
  round: z.int(),
  /** When it was made, UTC ms: what it says is as of then. */
  madeAt: z.int(),
  /** Whether somebody has opened the count; else the sheet is what it would ask for now. */
  isOpened: z.boolean(),
  out: partSchema,
  risky: partSchema,
  compartments: z.array(compartmentSchema),
  /** Compartments that did not fit, and the pieces in them. */
  moreCompartments: z.strictObject({ rows: z.int(), pieces: z.int() }),
  lastLook: z.array(z.string()),
});
export type WrapSheet = z.infer<typeof wrapSheetSchema>;

export interface SheetFacts {
  /** As it stands, or as it would stand if it were opened now (count-as-if.ts). */
  readonly count: Count;
  /** Everything that is still out there, across all stops, the most urgent first. */
  readonly stillOut: readonly StillOutLine[];
  readonly nameOfPlace: (placeId: PlaceId) => string;
  readonly outfit: { readonly name: string; readonly lastLook: readonly string[] };
  readonly jobName: string | null;
  readonly zone: string;
  readonly now: number;
  readonly isOpened: boolean;
}

/**
 * The sheet of one count. Out: what an earlier evening did not find, then the lines of the count that went out or are
 * absent and that nobody has answered for, in the order of the count (by urgency). Risky: what else is open and holds
 * rushes, belongs to somebody else or is often forgotten. Together with the compartments at most `SHEET_CELLS_MAX`
 * rows; compartments and `RISKY_SURE` risky things first get theirs, then what is out, then more risky things.
 */
export function wrapSheet(facts: SheetFacts): WrapSheet {
  const { count, outfit } = facts;
  const isOut = (line: CountLine) =>
    line.state === 'absent' || (isOpen(line) && (line.wentOut || line.missingSince !== null));
  const asked = new Set<string>(count.lines.map((line) => line.thingId));
  const missing = facts.stillOut.filter(({ why, thingId }) => why === 'not-found' && !asked.has(thingId));
  const out = [
    ...missing.map((line) => rowOfMissing(line, facts)),
    ...count.lines.filter(isOut).map((line) => rowOfLine(line, facts)),
  ];
  const risky = count.lines
    .filter((line) => isOpen(line) && !isOut(line) && whyRisky(line) !== null)
    .map((line) => rowOfLine(line, facts));
  const compartments = compartmentsOf(count);
  const shown = Math.min(compartments.length, COMPARTMENTS_MAX);
  const cells = SHEET_CELLS_MAX - evenUp(shown);
  const outShown = Math.min(out.length, cells - evenUp(Math.min(risky.length, RISKY_SURE)));
  const left = compartments.slice(shown);
  return {
    outfitName: outfit.name,
    stopName: count.stopName,
    jobName: facts.jobName,
    vehicleName: count.vehicleName,
    zone: facts.zone,
    round: count.round,
    madeAt: facts.now,
    isOpened: facts.isOpened,
    out: partOf(out, outShown),
    risky: partOf(risky, Math.min(RISKY_MAX, cells - evenUp(outShown))),
    compartments: compartments.slice(0, shown),
    moreCompartments: { rows: left.length, pieces: sum(left.map(({ pieces }) => pieces)) },
    lastLook: outfit.lastLook.slice(0, LAST_LOOK_MAX),
  };
}

/** Two columns: an odd row takes the place of two. */
const evenUp = (rows: number) => rows + (rows % 2);
const sum = (numbers: readonly number[]) => numbers.reduce((all, number) => all + number, 0);

function whyRisky(line: CountLine): SheetRow['why'] {
  if (line.whose !== 'ours') return line.whose;
  // What is ours and cannot be replaced holds rushes (urgency.ts).
  if (line.urgency === 'cannot-be-replaced') return 'holds-rushes';
  return line.forgotten >= OFTEN_FORGOTTEN ? 'often-forgotten' : null;
}

function rowOfLine(line: CountLine, { nameOfPlace }: SheetFacts): SheetRow {
  return {
    key: `${line.thingId}/${line.placeId ?? ''}`,
    name: line.name,
    number: line.kind === 'item' ? null : line.expected,
    spot: line.last?.spot ?? null,
    place: nameOfPlace(line.last?.placeId ?? line.placeId ?? line.compartmentId),
    why: line.state === 'absent' ? 'missing' : whyRisky(line),
  };
}

function rowOfMissing(line: StillOutLine, { nameOfPlace }: SheetFacts): SheetRow {
  return {
    key: `${line.thingId}/${line.lineId ?? ''}`,
    name: line.name,
    number: line.kind === 'item' ? null : line.number,
    spot: line.spot,
    place: line.placeId === null ? '' : nameOfPlace(line.placeId),
    why: 'missing',
  };
}

function partOf(rows: readonly SheetRow[], cells: number): WrapSheet['out'] {
  const left = rows.slice(cells);
  return { rows: rows.slice(0, cells), rest: restOf(left) };
}

function restOf(rows: readonly SheetRow[]): SheetRest {
  const byPlace = new Map<string, number>();
  for (const { place } of rows) if (place !== '') byPlace.set(place, (byPlace.get(place) ?? 0) + 1);
  const at = [...byPlace].map(([place, number]) => ({ place, rows: number }));
  at.sort((a, b) => b.rows - a.rows || (a.place < b.place ? -1 : 1));
  return { rows: rows.length, at: at.slice(0, PLACES_NAMED_MAX) };
}

function compartmentsOf(count: Count): readonly SheetCompartment[] {
  const pieces = new Map<PlaceId, number>();
  for (const { compartmentId, expected } of count.lines)
    pieces.set(compartmentId, (pieces.get(compartmentId) ?? 0) + expected);
  return count.compartments.map(({ placeId, name, open }) => ({
    key: placeId,
    name,
    pieces: pieces.get(placeId) ?? 0,
    open,
  }));
}
