// Numbers as people write them: 1.234,50 · 1,234.50 · 1 234,50 · 1'234.50. What 1.234 means is decided per column.
import type { DecimalSign } from './fields.ts';

const BLANKS = /[\s\u00a0\u202f\u2009]/gu;
const APOSTROPHES = /['’`]/gu;
const WRITTEN = /^[+-]?(\d[\d.,]*|[.,]\d+)$/;
const GROUP = 3;

/** Digits and the two signs only; null where more than a number is written. Minus may be the typographic one. */
function plainNumber(text: string): string | null {
  const plain = text
    .replace(BLANKS, '')
    .replace(APOSTROPHES, '')
    .replace(/[−–]/u, '-')
    .replace(/,-+$|\.-+$/u, '');
  return WRITTEN.test(plain) ? plain : null;
}

/** What one cell says of its column's decimal sign: itself clear, or null where it could be either (1.234, 12). */
export function decimalSignOf(text: string): DecimalSign | null {
  const plain = plainNumber(text)?.replace(/^[+-]/, '') ?? null;
  if (plain === null) return null;
  const point = plain.lastIndexOf('.');
  const comma = plain.lastIndexOf(',');
  if (point < 0 && comma < 0) return null;
  // Both are there: the last one stands before the decimals.
  if (point >= 0 && comma >= 0) return point > comma ? '.' : ',';
  const sign: DecimalSign = point >= 0 ? '.' : ',';
  const other: DecimalSign = sign === '.' ? ',' : '.';
  const pieces = plain.split(sign);
  // The same sign twice groups thousands.
  if (pieces.length > 2) return other;
  const [before = '', after = ''] = pieces;
  const couldGroup =
    after.length === GROUP && before.length <= GROUP && before !== '' && !before.startsWith('0');
  return couldGroup ? null : sign;
}

/** A decimal number, exactly: its sign, its digits before and behind the decimal sign. */
export type Written = { readonly negative: boolean; readonly whole: string; readonly decimals: string };

/**
 * Reads a number in the sense of its column. Null where it is none in that sense: 1.23 where the point groups
 * thousands, 12.34.5, words.
 */
export function readNumber(text: string, decimal: DecimalSign): Written | null {
  const plain = plainNumber(text);
  if (plain === null) return null;
  const negative = plain.startsWith('-');
  const [before = '', decimals = '', ...more] = plain.replace(/^[+-]/, '').split(decimal);
  if (more.length > 0 || !/^\d*$/.test(decimals)) return null;
  const groups = before.split(decimal === '.' ? ',' : '.');
  const isGrouped = groups.every((group, at) =>
    at === 0 ? group.length <= GROUP && group !== '' : group.length === GROUP,
  );
  if (groups.length > 1 && !isGrouped) return null;
  return { negative, whole: groups.join('') || '0', decimals };
}

/** The number as the machine has it: exact up to 15 digits. */
export function toNumber(written: Written): number {
  return Number(`${written.negative ? '-' : ''}${written.whole}.${written.decimals || '0'}`);
}

/**
 * The number in the smallest step of `digits` decimals (a price in its currency's minor unit). Further decimals are
 * rounded half up (away from zero), as a till does; null beyond 15 digits, where whole numbers are no longer exact.
 */
export function toMinor(written: Written, digits: number): number | null {
  const kept = written.decimals.slice(0, digits).padEnd(digits, '0');
  const roundsUp = written.decimals.charAt(digits) >= '5';
  const minor = Number(`${written.whole}${kept}`) + (roundsUp ? 1 : 0);
  if (minor > 999_999_999_999_999) return null;
  return written.negative && minor !== 0 ? -minor : minor;
}
