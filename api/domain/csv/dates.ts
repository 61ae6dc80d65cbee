// Dates as people write them. What 03/04 means is decided per column, never per cell.
import { fold } from '../fold.ts';
import type { DateOrder } from './fields.ts';

const MONTHS_MAX = 12;
const YEARS_OF_2000_BELOW = 69;
// The beginnings by which the months are told apart in en, de, fr, es, it, pt, nl, folded.
const MONTH_BEGINNINGS: readonly (readonly string[])[] = [
  ['jan', 'ene', 'gen'],
  ['feb', 'fev'],
  ['mar', 'mrz', 'maerz', 'mrt', 'maa'],
  ['apr', 'avr', 'abr'],
  ['may', 'mai', 'mag', 'mei'],
  ['jun', 'juin', 'giu'],
  ['jul', 'juil', 'lug'],
  ['aug', 'aou', 'ago'],
  ['sep', 'set'],
  ['oct', 'okt', 'ott', 'out'],
  ['nov'],
  ['dec', 'dez', 'dic', 'des'],
];

/** Three numbers of a date that does not begin with its year, as written: which is the day is the column's affair. */
const NUMBERS = /^(\d{1,2})\s*[./\- ]\s*(\d{1,2})\s*[./\- ]\s*(\d{4}|\d{2})$/;
const YEAR_FIRST = /^(\d{4})\s*[./\- ]\s*(\d{1,2})\s*[./\- ]\s*(\d{1,2})$/;
const TOGETHER = /^(\d{4})(\d{2})(\d{2})$/;
const MONTH_AND_YEAR = /^(\d{1,2})\s*[./-]\s*(\d{4})$/;
const YEAR_AND_MONTH = /^(\d{4})\s*[./-]\s*(\d{1,2})$/;
const YEAR_ALONE = /^((?:19|20)\d{2})$/;
const TIME_BEHIND = /[T ]\d{1,2}:\d{2}(:\d{2}([.,]\d+)?)?\s*(am|pm|z|[+-]\d{2}:?\d{2})?$/iu;

/** What one cell says of its column's order: clear by a number above 12 or by its points, else null. */
export function dateOrderOf(text: string): DateOrder | null {
  const numbers = NUMBERS.exec(withoutTime(text));
  if (numbers === null) return null;
  const first = Number(numbers[1]);
  const second = Number(numbers[2]);
  if (first > MONTHS_MAX && second <= MONTHS_MAX) return 'dmy';
  if (second > MONTHS_MAX && first <= MONTHS_MAX) return 'mdy';
  // Points between the numbers are the custom of those who write the day first.
  return text.includes('.') && !text.includes('/') ? 'dmy' : null;
}

function withoutTime(text: string): string {
  return text.trim().replace(TIME_BEHIND, '').trim();
}

/** Two digits of a year: 69 to 99 are 1969 to 1999, 00 to 68 are 2000 to 2068. Source: POSIX, strptime, %y. */
function fullYear(text: string): number {
  const year = Number(text);
  if (text.length !== 2) return year;
  return year < YEARS_OF_2000_BELOW ? 2000 + year : 1900 + year;
}

function daysIn(year: number, month: number): number {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  return [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
}

function asDate(year: number, month: number, day: number): string | null {
  if (month < 1 || month > MONTHS_MAX || day < 1 || day > daysIn(year, month) || year < 1900) return null;
  return `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
}

function monthOf(word: string): number | null {
  const folded = fold(word);
  const at = MONTH_BEGINNINGS.findIndex((beginnings) =>
    beginnings.some((beginning) => folded.startsWith(beginning)),
  );
  return at < 0 ? null : at + 1;
}

function readWithMonthName(text: string): string | null {
  const words = text
    .split(/[\s.,/\-’']+/u)
    .filter((word) => word !== '' && !/^(de|del|of|the|le|el|il)$/i.test(word));
  const named = words.findIndex((word) => /^\p{L}{3,}$/u.test(word));
  const month = named < 0 ? null : monthOf(words[named] ?? '');
  if (month === null) return null;
  const numbers = words
    .filter((_, at) => at !== named)
    .map((word) => word.replace(/(st|nd|rd|th|er|º|ª)$/iu, ''));
  if (!numbers.every((number) => /^\d{1,4}$/.test(number))) return null;
  const [first = '', second] = numbers;
  if (numbers.length === 1 && first.length === 4) return asDate(Number(first), month, 1);
  if (numbers.length !== 2 || second === undefined) return null;
  return first.length === 4
    ? asDate(Number(first), month, Number(second))
    : asDate(fullYear(second), month, Number(first));
}

/**
 * Reads a date in the order of its column, as 2026-11-25. A year first is read as year, month, day whatever the
 * order; a month by name (en, de, fr, es, it, pt, nl) needs none; a time of day behind it is passed over. A
 * month without a day is its first day, a year alone the 1st of January: the preview shows it. Null for a day that does not
 * exist, one before 1900, and for anything else.
 */
export function readDate(text: string, order: DateOrder): string | null {
  const date = withoutTime(text);
  const yearFirst = YEAR_FIRST.exec(date) ?? TOGETHER.exec(date);
  if (yearFirst !== null) return asDate(Number(yearFirst[1]), Number(yearFirst[2]), Number(yearFirst[3]));
  const numbers = NUMBERS.exec(date);
  if (numbers !== null) {
    const [, first = '', second = '', year = ''] = numbers;
    return order === 'dmy'
      ? asDate(fullYear(year), Number(second), Number(first))
      : asDate(fullYear(year), Number(first), Number(second));
  }
  const monthAndYear = MONTH_AND_YEAR.exec(date);
  if (monthAndYear !== null) return asDate(Number(monthAndYear[2]), Number(monthAndYear[1]), 1);
  const yearAndMonth = YEAR_AND_MONTH.exec(date);
  if (yearAndMonth !== null) return asDate(Number(yearAndMonth[1]), Number(yearAndMonth[2]), 1);
  const year = YEAR_ALONE.exec(date);
  return year === null ? readWithMonthName(date) : asDate(Number(year[1]), 1, 1);
}
