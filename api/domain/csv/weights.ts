// Weights with the units people write: kg, g, lb, oz.
import type { WeightUnit } from './fields.ts';

const UNIT =
  /(?:^|[^\p{L}])(kgs?|kilos?|kilograms?|kilogramm|g|gr|grams?|gramm|lbs?|pounds?|oz|ounces?)(?![\p{L}])\.?/iu;

// The international avoirdupois pound is exactly 453.59237 g, an ounce a sixteenth of it (NIST SP 811, appendix B.8).
const GRAMS_PER: Readonly<Record<WeightUnit, number>> = {
  g: 1,
  kg: 1_000,
  lb: 453.592_37,
  oz: 28.349_523_125,
};

/** The unit that a heading or a cell names; null where it names none. */
export function weightUnitIn(text: string): WeightUnit | null {
  // A digit may stand right before the unit: 12kg.
  const word = UNIT.exec(text.replace(/(\d)(\p{L})/gu, '$1 $2'))?.[1]?.toLowerCase();
  if (word === undefined) return null;
  if (word.startsWith('k')) return 'kg';
  if (word.startsWith('g')) return 'g';
  return word.startsWith('o') ? 'oz' : 'lb';
}

/** The cell without its unit. */
export function withoutWeightUnit(text: string): string {
  return text
    .replace(/(\d)(\p{L})/gu, '$1 $2')
    .replace(UNIT, '')
    .trim();
}

/** Whole grams, rounded half up. */
export function toGrams(number: number, unit: WeightUnit): number {
  return Math.round(number * GRAMS_PER[unit]);
}
