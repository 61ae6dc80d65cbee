// A maker's product number: a Global Trade Item Number (GS1). It names a product, never a single thing.

const GTIN_LENGTH = 14;
const FORM = /^(\d{8}|\d{12,14})$/;

/**
 * The GS1 check digit of a number without it: weights 3, 1, 3, 1 … from the right, then what is missing to the next ten.
 * `digits` is a text of digits. Source: GS1 General Specifications, 7.9 (standard check digit).
 */
export function gs1CheckDigitOf(digits: string): string {
  let sum = 0;
  for (let at = digits.length - 1, weight = 3; at >= 0; at -= 1, weight = 4 - weight) {
    sum += Number(digits.charAt(at)) * weight;
  }
  return String((10 - (sum % 10)) % 10);
}

/** Whether the text is a GTIN-8, -12, -13 or -14 with the right check digit. */
export function isGtin(text: string): boolean {
  return FORM.test(text) && gs1CheckDigitOf(text.slice(0, -1)) === text.slice(-1);
}

/**
 * The one form in which a GTIN is kept: 14 digits, filled with zeros from the left, so that a 12-digit code and the
 * same code read with a leading zero are one product. Null for anything that is not a GTIN.
 */
export function gtin14Of(text: string): string | null {
  return isGtin(text) ? text.padStart(GTIN_LENGTH, '0') : null;
}
