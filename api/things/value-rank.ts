// Orders things by value on screens that show no money: a coarse number instead of an amount.
import type { Money } from '#domain/thing.ts';

const STEPS_PER_DOUBLING = 4;
const HUNDREDTHS_DIGITS = 2;

/**
 * How dear a thing is, without saying how much: 0 where no value is known or it is nothing, else 1 and up, one more
 * for about every fifth part of value added (four steps per doubling), so that an amount can't be read back from it.
 * Amounts of different currencies are compared by their number in whole units; no exchange rate is known here.
 * `digits` is the number of decimal places of the currency (ISO 4217: EUR 2, JPY 0). Rounded down.
 */
export function valueRankOf(value: Money | null, digits: number): number {
  if (value === null || value.minor <= 0) return 0;
  const hundredths = value.minor * 10 ** (HUNDREDTHS_DIGITS - digits);
  return 1 + Math.floor(STEPS_PER_DOUBLING * Math.log2(1 + hundredths));
}

/** How many decimal places the currency has (ISO 4217, as the runtime's CLDR data give it); 2 for one it does not know. */
export function currencyDigits(currency: string): number {
  const options = new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions();
  return options.maximumFractionDigits ?? HUNDREDTHS_DIGITS;
}
