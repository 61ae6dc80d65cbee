// The desk's words for what the contract says in short: one table each, so that a word changes in one place.
import type { CountLine } from '#domain/count-shape.ts';
import type { Absence, Check, Reason, Recorded } from '#domain/movement.ts';
import type { PlaceKind } from '#domain/place.ts';
import type { ThingKind, Way, Whose } from '#domain/thing.ts';

export const WORD_OF_CHECK: Readonly<Record<Check, string>> = {
  scanned: 'scanned',
  seen: 'seen',
  'on-paper': 'on paper',
  'by-number': 'by number',
  'by-sight': 'by sight',
  'with-container': 'with its container',
  'not-opened': 'not opened',
};
export const WORD_OF_ABSENCE: Readonly<Record<Absence, string>> = {
  'not-found': 'not found yet',
  'did-not-come': 'did not come today',
  'not-ours': 'not ours',
};
export const WORD_OF_REASON: Readonly<Record<Reason, string>> = {
  arrival: 'came to us',
  'load-in': 'going in',
  wrap: 'back aboard',
  tidy: 'put away',
  'bring-in': 'brought in',
  'left-on-purpose': 'left on purpose',
  'with-somebody': 'with somebody',
  lend: 'lent',
  'hand-over': 'handed over',
  'rent-out': 'rented out',
  consumed: 'used up',
};
export const WORD_OF_STATE: Readonly<Record<CountLine['state'], string>> = {
  open: 'open',
  short: 'short',
  aboard: 'aboard',
  absent: 'not here',
  away: 'away',
};
export const WORD_OF_KIND: Readonly<Record<ThingKind, string>> = {
  item: 'item',
  counted: 'counted gear',
  consumable: 'consumable',
};
export const WORD_OF_WHOSE: Readonly<Record<Whose, string>> = {
  ours: 'ours',
  'rented-in': 'rented in',
  borrowed: 'borrowed',
  client: 'client’s',
};
export const WORD_OF_WAY: Readonly<Record<Way, string>> = { driving: 'when driving', flying: 'when flying' };
export const WORD_OF_PLACE: Readonly<Record<PlaceKind, string>> = {
  store: 'store',
  vehicle: 'vehicle',
  compartment: 'compartment',
  container: 'case',
  location: 'location',
  hotel: 'hotel',
  'in-transit': 'in transit',
  party: 'has it',
};

/** What was said of a line of a count, in words: a check, a finding or a movement. */
export function wordOfSaid(said: Check | Absence | Reason | 'open'): string {
  if (said === 'open') return 'open';
  const words: Readonly<Record<string, string>> = { ...WORD_OF_CHECK, ...WORD_OF_ABSENCE, ...WORD_OF_REASON };
  return words[said] ?? said;
}

/** How a line of a count stands, in the word that says most. */
export function wordOfLine(line: CountLine): string {
  return line.said === null || line.state === 'open' || line.state === 'short'
    ? WORD_OF_STATE[line.state]
    : line.state === 'aboard'
      ? `aboard, ${wordOfSaid(line.said.said)}`
      : wordOfSaid(line.said.said);
}

/** A time as people here write it, with its date, in the zone given or in the reader's own. */
export function showTime(at: number, zone?: string): string {
  const format = new Intl.DateTimeFormat(undefined, {
    dateStyle: 'medium',
    timeStyle: 'short',
    ...(zone ? { timeZone: zone } : {}),
  });
  return format.format(at);
}

/** Money in the person's way of writing; the currency decides how many digits. */
export function showMoney(money: { readonly minor: number; readonly currency: string } | null): string {
  if (money === null) return '';
  const format = new Intl.NumberFormat(undefined, { style: 'currency', currency: money.currency });
  const digits = format.resolvedOptions().maximumFractionDigits ?? 2;
  return format.format(money.minor / 10 ** digits);
}

export const WORD_OF_URGENCY: Readonly<Record<CountLine['urgency'], string>> = {
  'cannot-be-replaced': 'cannot be replaced',
  'stops-the-shoot': 'stops the shoot',
  'by-value': 'by value',
};

/** Whole days in words; nothing where they are not known. */
export function showDays(days: number | null): string {
  if (days === null) return '';
  if (days === 0) return 'less than a day';
  return days === 1 ? '1 day' : `${days} days`;
}

/** A calendar date as people here write it; it has no zone. */
export function showDate(date: string): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeZone: 'UTC' }).format(
    Date.parse(date),
  );
}

function withCheck(words: string, check: Check | null): string {
  return check === null ? words : `${words}, ${WORD_OF_CHECK[check]}`;
}

const WORD_OF_MARK = { faulty: 'faulty', 'holds-rushes': 'holds rushes' } as const;

/** What a line of the ledger says, in a few words. */
export function whatHappened(line: Recorded): string {
  switch (line.kind) {
    case 'move':
      return withCheck(WORD_OF_REASON[line.why], line.check);
    case 'quantity':
      return withCheck(`${line.number} × ${WORD_OF_REASON[line.why]}`, line.check);
    case 'hand-count':
      return `counted by hand: ${line.number}`;
    case 'void':
      return 'took a line back';
    case 'seal':
      return line.tie === null ? 'sealed' : `sealed with ${line.tie}`;
    case 'unseal':
      return 'seal opened';
    case 'absence':
      return WORD_OF_ABSENCE[line.finding];
    case 'answer':
      return WORD_OF_CHECK[line.check];
    case 'mark':
      return line.on ? WORD_OF_MARK[line.mark] : `no longer ${WORD_OF_MARK[line.mark]}`;
    case 'open':
      return 'count opened';
    case 'close':
      return 'count closed';
  }
}

/** A number with its thousands grouped as people here do. */
export function showNumber(number: number): string {
  return new Intl.NumberFormat(undefined).format(number);
}
