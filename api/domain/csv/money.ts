// Amounts with the signs and codes that people write around them.
import { assert } from '../invariant.ts';

// One sign, several currencies: the outfit's own is taken where it is among them, else the first. Common usage, no source.
const CURRENCIES_OF_SIGN: readonly (readonly [RegExp, readonly string[]])[] = [
  [/€|\beuros?\b/iu, ['EUR']],
  [/£/u, ['GBP']],
  [/¥/u, ['JPY', 'CNY']],
  [/\bfr\.?(?![\p{L}])|\bsfr\b/iu, ['CHF']],
  [/zł/iu, ['PLN']],
  [/Kč/iu, ['CZK']],
  [/\bkr\.?(?![\p{L}])/iu, ['SEK', 'NOK', 'DKK', 'ISK']],
  [/R\$/u, ['BRL']],
  [/\$/u, ['USD', 'CAD', 'AUD', 'NZD', 'SGD', 'HKD', 'MXN', 'ARS', 'CLP']],
  [/₹/u, ['INR']],
];
const AROUND = /[€£¥$₹]|\b[A-Z]{3}\b|\beuros?\b|\bs?fr\.?(?!\p{L})|\bkr\.?(?!\p{L})|zł|Kč|R(?=\s*$)/giu;

const DIGITS_USUAL = 2;
const DIGITS_OF_CURRENCY: ReadonlyMap<string, number> = new Map(
  Intl.supportedValuesOf('currency').map((currency) => {
    const { maximumFractionDigits } = new Intl.NumberFormat('en', {
      style: 'currency',
      currency,
    }).resolvedOptions();
    return [currency, maximumFractionDigits ?? DIGITS_USUAL];
  }),
);

/** The currency that a text names by code or sign; null where it names none. `home` is the outfit's ISO 4217 code. */
export function currencyIn(text: string, home: string): string | null {
  const code = /(?:^|[^\p{L}])([A-Z]{3})(?:[^\p{L}]|$)/u.exec(text)?.[1];
  if (code !== undefined && isCurrency(code)) return code;
  for (const [sign, currencies] of CURRENCIES_OF_SIGN) {
    if (!sign.test(text)) continue;
    const first = currencies[0];
    assert(first !== undefined, 'every sign stands for a currency');
    return currencies.includes(home) ? home : first;
  }
  return null;
}

/** Whether the code is a currency in use (ISO 4217 as the runtime's CLDR data list it). */
export function isCurrency(code: string): boolean {
  return DIGITS_OF_CURRENCY.has(code);
}

/** Decimal places of the currency (ISO 4217 as CLDR has it): EUR 2, JPY 0. */
export function digitsOfCurrency(currency: string): number {
  return DIGITS_OF_CURRENCY.get(currency) ?? DIGITS_USUAL;
}

/** The amount without the signs and codes around it. */
export function withoutCurrency(text: string): string {
  return text.replace(AROUND, ' ').trim();
}
