// How labels are spoken of: symbols by name, distances in the length of a hand and an arm.
import { ARM_MM, type LabelSymbol, type SymbolPlan } from '#domain/label-symbol.ts';
import { showNumber } from './words.ts';

export const WORD_OF_SYMBOL: Readonly<Record<LabelSymbol, string>> = {
  'data-matrix': 'Data Matrix',
  'data-matrix-wide': 'low Data Matrix',
  qr: 'QR code',
  'code-128': 'Code 128',
};

const MM_PER_CM = 10;
// Further was not measured, and nobody scans a label from across the yard.
const SHOWN_CM_MAX = 60;

/** "25 cm", "more than 60 cm". */
export function showReach(mm: number): string {
  const cm = Math.floor(mm / MM_PER_CM);
  return cm > SHOWN_CM_MAX ? `more than ${SHOWN_CM_MAX} cm` : `${cm} cm`;
}

/** What the label will carry and from where it reads. */
export function showPlan(plan: SymbolPlan): string {
  const module = new Intl.NumberFormat(undefined, { maximumFractionDigits: 2 }).format(plan.moduleMm);
  return `${WORD_OF_SYMBOL[plan.symbol]} with modules of ${module} mm (${plan.dots} printer dots): a phone reads it from ${showReach(plan.readsToMm)}.`;
}

/** Why it would not do. */
export function showTooFine(plan: SymbolPlan): string {
  return `This ${WORD_OF_SYMBOL[plan.symbol]} would read from ${showReach(plan.readsToMm)} only, and most phones do not focus nearer than ${showReach(ARM_MM)}.`;
}

export const showLabels = (number: number): string =>
  number === 1 ? '1 label' : `${showNumber(number)} labels`;
export const showSheets = (number: number, isRoll: boolean): string => {
  if (isRoll) return 'on the roll';
  return number === 1 ? 'on 1 sheet' : `on ${showNumber(number)} sheets`;
};
