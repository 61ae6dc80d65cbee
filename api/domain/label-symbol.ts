// Which symbol a label carries, how large its modules are, and from how far a phone reads it. A matrix code of coarse
// modules reads in one hand at night; a fine one only looks tidy.
import { z } from 'zod';

const MM_PER_INCH = 25.4;

export const PRINTER_DPI = [203, 300, 600] as const;
export type PrinterDpi = (typeof PRINTER_DPI)[number];

export const LABEL_SYMBOLS = ['data-matrix', 'data-matrix-wide', 'qr', 'code-128'] as const;
export const labelSymbolSchema = z.enum(LABEL_SYMBOLS);
export type LabelSymbol = z.infer<typeof labelSymbolSchema>;

/** Phones focus no nearer than 20 to 25 cm, so a label must read from there. */
export const ARM_MM = 250;

interface SymbolFacts {
  /** Modules across and down without the quiet zone. 0 down: a linear code, as tall as its room. */
  readonly across: number;
  readonly down: number;
  /** Quiet zone in modules: as its standard has it, and the least that was read as well. */
  readonly quiet: number;
  readonly quietLeast: number;
  /** Module in millimetres that reads at 25 cm with a reserve, and the largest that makes sense. */
  readonly moduleAtArmMm: number;
  readonly moduleMaxMm: number;
}

/**
 * A tag's symbols. Sizes: ISO/IEC 16022 (Data Matrix ECC 200, 10 characters), ISO/IEC 18004 (QR version 1, level Q),
 * ISO/IEC 15417 (Code 128, set A, 10 characters). Modules and least quiet zones: measured in this project, see
 * tests/check-values/label-reading.json.
 */
export const SYMBOL_FACTS: Readonly<Record<LabelSymbol, SymbolFacts>> = {
  'data-matrix': {
    across: 14,
    down: 14,
    quiet: 1,
    quietLeast: 1,
    moduleAtArmMm: 0.5,
    moduleMaxMm: 2,
  },
  'data-matrix-wide': {
    across: 32,
    down: 8,
    quiet: 1,
    quietLeast: 1,
    moduleAtArmMm: 0.5,
    moduleMaxMm: 2,
  },
  qr: { across: 21, down: 21, quiet: 4, quietLeast: 2, moduleAtArmMm: 0.45, moduleMaxMm: 2 },
  'code-128': {
    across: 145,
    down: 0,
    quiet: 10,
    quietLeast: 10,
    moduleAtArmMm: 0.375,
    moduleMaxMm: 0.51,
  },
};

/** Less than two dots a module is not drawn: no printer keeps its edges. */
export const DOTS_PER_MODULE_MIN = 2;
/** Lower bars are missed by a hand-held reader that is not held straight. */
const BARS_MIN_MM = 5;
/** What the text needs: beside the symbol so much, and no less than half; or a line below it. */
const TEXT_BESIDE_MM = 15;
const TEXT_BESIDE_SHARE = 0.5;
const TEXT_BELOW_MM = 4;

export interface LabelRoom {
  readonly widthMm: number;
  readonly heightMm: number;
}

export interface SymbolPlan {
  readonly symbol: LabelSymbol;
  /** Whole printer dots per module. */
  readonly dots: number;
  readonly quiet: number;
  readonly moduleMm: number;
  /** Text to the right of the symbol, or below it. */
  readonly text: 'beside' | 'below';
  /** The distance from which it reads, whole millimetres. */
  readonly readsToMm: number;
}

export interface LabelPlan {
  readonly plan: SymbolPlan;
  /** What would read from further where this one does not read at 25 cm. */
  readonly better: SymbolPlan | null;
}

/**
 * The distance in whole millimetres from which a phone (a camera picture 1,920 pixels wide, 65° field) reads a symbol of
 * this module size. Grows with the module. Source: measured in this project, tests/check-values/label-reading.json.
 */
export function readingDistanceMm(symbol: LabelSymbol, moduleMm: number): number {
  // A thousandth of a module is no difference that anything could print.
  return Math.floor((ARM_MM * moduleMm) / SYMBOL_FACTS[symbol].moduleAtArmMm + 0.5);
}

/** Whether it reads where a phone can focus. */
export const readsAtArm = (plan: SymbolPlan): boolean => plan.readsToMm >= ARM_MM;

function roomForSymbol(room: LabelRoom, text: SymbolPlan['text'], isLinear: boolean): LabelRoom {
  const below = { widthMm: room.widthMm, heightMm: room.heightMm - TEXT_BELOW_MM };
  if (isLinear || text === 'below') return below;
  const besideMm = Math.max(TEXT_BESIDE_MM, room.widthMm * TEXT_BESIDE_SHARE);
  return { widthMm: room.widthMm - besideMm, heightMm: room.heightMm };
}

function dotsThatFit(symbol: LabelSymbol, quiet: number, room: LabelRoom, dpi: PrinterDpi): number {
  const facts = SYMBOL_FACTS[symbol];
  const dotsOf = (mm: number) => Math.floor((mm * dpi) / MM_PER_INCH + 1e-6);
  const byWidth = Math.floor(dotsOf(room.widthMm) / (facts.across + 2 * quiet));
  if (facts.down === 0) {
    return room.heightMm < BARS_MIN_MM ? 0 : Math.min(byWidth, dotsOf(facts.moduleMaxMm));
  }
  const byHeight = Math.floor(dotsOf(room.heightMm) / (facts.down + 2 * quiet));
  return Math.min(byWidth, byHeight, dotsOf(facts.moduleMaxMm));
}

/** The symbol as large as this room lets it be, in whole dots; null where it does not go in. */
function fitSymbol(symbol: LabelSymbol, room: LabelRoom, dpi: PrinterDpi): SymbolPlan | null {
  const { quiet, quietLeast, moduleAtArmMm, down } = SYMBOL_FACTS[symbol];
  const fits = (['beside', 'below'] as const).flatMap((text) => {
    const inside = roomForSymbol(room, text, down === 0);
    return [quiet, quietLeast].map((zone) => ({
      text: down === 0 ? ('below' as const) : text,
      quiet: zone,
      dots: dotsThatFit(symbol, zone, inside, dpi),
    }));
  });
  const mmOf = (dots: number) => (dots * MM_PER_INCH) / dpi;
  // The full quiet zone and text beside it win as soon as the symbol reads at arm's length; before that, size does.
  const reading = fits.filter(({ dots }) => mmOf(dots) >= moduleAtArmMm - 1e-9);
  const best = reading[0] ?? [...fits].sort((a, b) => b.dots - a.dots)[0];
  if (best === undefined || best.dots < DOTS_PER_MODULE_MIN) return null;
  const moduleMm = mmOf(best.dots);
  return { symbol, ...best, moduleMm, readsToMm: readingDistanceMm(symbol, moduleMm) };
}

/** From this module on a QR code is worth its larger quiet zone: a phone's own camera reads it, too. */
const QR_MODULE_ON_CASES_MM = 0.75;

function fitAll(room: LabelRoom, dpi: PrinterDpi): readonly SymbolPlan[] {
  const order = ['data-matrix', 'qr', 'data-matrix-wide'] as const;
  const plans = order.flatMap((symbol) => fitSymbol(symbol, room, dpi) ?? []);
  const qr = plans.find(({ symbol, moduleMm }) => symbol === 'qr' && moduleMm >= QR_MODULE_ON_CASES_MM);
  const reading = plans.filter(readsAtArm);
  const byDistance = [...plans].sort((a, b) => b.readsToMm - a.readsToMm);
  return [...(qr ? [qr] : []), ...reading, ...byDistance];
}

/**
 * Decides what a label of this room (millimetres, margins taken off) carries at this printer's dots. Without a wish: a QR
 * code with modules of 0.75 mm or more, else what reads at 25 cm, Data Matrix first, else what reads from furthest. With a
 * wish: that symbol, and what would read from further where it does not read at 25 cm. Null: it does not go in.
 */
export function planLabel(room: LabelRoom, wish: LabelSymbol | null, dpi: PrinterDpi): LabelPlan | null {
  const [first] = fitAll(room, dpi);
  const plan = wish === null ? (first ?? null) : fitSymbol(wish, room, dpi);
  if (plan === null) return null;
  const better = first !== undefined && !readsAtArm(plan) && first.readsToMm > plan.readsToMm ? first : null;
  return { plan, better };
}
