// Guesses what stands between the cells of a list: comma, semicolon or tab.
import { z } from 'zod';

export const delimiterSchema = z.enum([',', ';', '\t']);
export type Delimiter = z.infer<typeof delimiterSchema>;

// In this order where nothing else decides: a tab is hardly ever in a text, a comma often.
const DELIMITERS: readonly Delimiter[] = ['\t', ';', ','];
const OPENS_BEHIND: ReadonlySet<string> = new Set(['', ',', ';', '\t', '\n', '\r', '"']);
const RECORDS_LOOKED_AT_MAX = 100;

type Counts = Record<Delimiter, number>;

/** How often each sign stands outside quotes, record by record; a line break inside quotes ends no record. */
function countPerRecord(text: string): readonly Counts[] {
  const records: Counts[] = [];
  let counts: Counts = { ',': 0, ';': 0, '\t': 0 };
  let quoted = false;
  let blank = true;
  for (let at = 0; at < text.length && records.length < RECORDS_LOOKED_AT_MAX; at += 1) {
    const character = text.charAt(at);
    // A quote opens a cell only at its beginning: elsewhere it means inches.
    if (character === '"' && (quoted || OPENS_BEHIND.has(text.charAt(at - 1)))) quoted = !quoted;
    if (quoted) continue;
    if (character === '\n' || character === '\r') {
      if (!blank) records.push(counts);
      counts = { ',': 0, ';': 0, '\t': 0 };
      blank = true;
      continue;
    }
    blank = false;
    if (character === ',' || character === ';' || character === '\t') counts[character] += 1;
  }
  if (!blank) records.push(counts);
  return records;
}

/** In how many records the sign stands as often as it most often does, that number not being none. */
function evenness(records: readonly Counts[], delimiter: Delimiter): number {
  const times = new Map<number, number>();
  for (const counts of records) {
    const number = counts[delimiter];
    if (number > 0) times.set(number, (times.get(number) ?? 0) + 1);
  }
  return Math.max(0, ...times.values());
}

/**
 * The sign that stands equally often in the most records (the first hundred are looked at); where two do equally
 * well, tab before semicolon before comma, so that decimal commas in a semicolon list decide nothing. A comma where
 * there is none of them: a list of one column.
 */
export function guessDelimiter(text: string): Delimiter {
  const records = countPerRecord(text);
  let best: Delimiter = ',';
  let bestEvenness = 0;
  for (const delimiter of DELIMITERS) {
    const even = evenness(records, delimiter);
    if (even > bestEvenness) {
      best = delimiter;
      bestEvenness = even;
    }
  }
  return best;
}
