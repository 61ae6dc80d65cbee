// The check characters of our tags: ISO/IEC 7064, pure system MOD 1271-36 (designation 5).
import { assert } from './invariant.ts';

const MODULUS = 1271;
const RADIX = 36;
const CHARACTERS = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ';

function remainderOf(text: string): number {
  let remainder = 0;
  for (const character of text) {
    const value = CHARACTERS.indexOf(character);
    assert(value >= 0, 'check characters are computed over 0-9 and A-Z');
    remainder = ((remainder + value) * RADIX) % MODULUS;
  }
  return remainder;
}

/**
 * The two check characters for a text of 0-9 and A-Z. Throws on any other character.
 * They find every single wrong character and every swap of two neighbours.
 * Source: ISO/IEC 7064:2003, recursive method of the pure systems with two check characters (8.2).
 */
export function checkCharactersOf(text: string): string {
  const remainder = (remainderOf(text) * RADIX) % MODULUS;
  const check = (MODULUS + 1 - remainder) % MODULUS;
  return `${CHARACTERS.charAt(Math.floor(check / RADIX))}${CHARACTERS.charAt(check % RADIX)}`;
}

/** Whether the last two characters are the check characters of the ones before. Throws as `checkCharactersOf` does. */
export function hasRightCheckCharacters(text: string): boolean {
  return text.length > 2 && checkCharactersOf(text.slice(0, -2)) === text.slice(-2);
}
