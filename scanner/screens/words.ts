// How things are said on the phone: short words, what happened, where and by whom. Never an amount of money.
import type { Position } from '#domain/book.ts';
import { remembered } from '#domain/count-ground.ts';
import type { CountLine, LineSaid } from '#domain/count-shape.ts';
import type { PlaceId } from '#domain/ids.ts';
import type { Check } from '#domain/movement.ts';
import type { StillOutLine } from '#domain/still-out.ts';
import type { Whose } from '#domain/thing.ts';
import { firstKnownZone } from '#domain/working-day.ts';
import type { Tone } from '../../web/look/line.tsx';
import type { PhoneBook } from '../store/phone-book.ts';

const DAY_MS = 86_400_000;

export const SAID_WORDS: Readonly<Record<LineSaid['said'], string>> = {
  scanned: 'scanned',
  seen: 'seen',
  'on-paper': 'on paper',
  'by-number': 'counted',
  'by-sight': 'by sight',
  'with-container': 'sealed, unbroken',
  'not-opened': 'not opened',
  'not-found': 'not found yet',
  'did-not-come': 'did not come',
  'not-ours': 'not ours',
  'left-on-purpose': 'left on purpose',
  'with-somebody': 'with somebody',
  lend: 'lent',
  'hand-over': 'handed over',
  'rent-out': 'rented out',
  consumed: 'used up',
  arrival: 'brought',
  'load-in': 'went in',
  wrap: 'aboard',
  tidy: 'put away',
  'bring-in': 'entered',
};

export const CHECK_WORDS: Readonly<Record<Check, string>> = {
  scanned: 'scanned',
  seen: 'seen',
  'on-paper': 'on paper',
  'by-number': 'counted',
  'by-sight': 'by sight',
  'with-container': 'sealed',
  'not-opened': 'not opened',
};

const WHOSE_WORDS: Readonly<Record<Whose, string>> = {
  ours: '',
  'rented-in': 'rented in',
  borrowed: 'borrowed',
  client: 'the client’s',
};
export const whoseWord = (whose: Whose): string => WHOSE_WORDS[whose];

// A formatter costs a tenth of a millisecond on an older phone, and a list of three hundred lines asks for one three times a line.
const zoneAtOffset = remembered((_minutes: number) => new Intl.DateTimeFormat().resolvedOptions().timeZone);

/**
 * The zone of the phone itself: what its own clock shows, and so what the person goes by. It is asked for anew when the
 * phone's clock has come to differ from UTC by something else.
 */
export const phoneZone = (): string => zoneAtOffset(new Date().getTimezoneOffset());

const formatsIn = remembered((zone: string) => {
  const timeZone = firstKnownZone([zone]);
  const time: Intl.DateTimeFormatOptions = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone };
  const day: Intl.DateTimeFormatOptions = { weekday: 'short', day: 'numeric', month: 'short' };
  const near = new Intl.DateTimeFormat('en-GB', time);
  return { near, far: new Intl.DateTimeFormat('en-GB', { ...day, ...time }) };
});

/** "23:41", or with the day before it when that was not in the last 20 hours. */
export function timeText(at: number, zone: string, now: number): string {
  const { near, far } = formatsIn(zone);
  const isNear = Math.abs(now - at) < DAY_MS - 4 * 3_600_000;
  return (isNear ? near : far).format(at);
}

export function placeName(book: PhoneBook, placeId: PlaceId | null): string {
  return (placeId === null ? undefined : book.places.get(placeId)?.name) ?? 'a place not known here yet';
}

export function personName(book: PhoneBook, personId: string | null): string | null {
  return personId === null ? null : (book.people.get(personId)?.name ?? null);
}

const joined = (parts: readonly (string | null | undefined)[]): string =>
  parts.filter((part) => part !== null && part !== undefined && part !== '').join(' · ');

/** Where a thing was last put down, with the spot, when and by whom. */
export function lastText(book: PhoneBook, last: Position | null, now: number): string {
  if (last === null) return '';
  const { placeId, spot, at, personId } = last;
  return joined([placeName(book, placeId), spot, timeText(at, phoneZone(), now), personName(book, personId)]);
}

/** The facts under the name of a line of a count. */
export function lineFacts(book: PhoneBook, line: CountLine, now: number): string {
  const thing = book.things.get(line.thingId);
  const rushes = thing?.holdsRushes === true ? 'holds rushes' : '';
  const missing =
    line.missingSince === null ? '' : `missing since ${timeText(line.missingSince, phoneZone(), now)}`;
  const out = line.roomId !== null ? 'in the room overnight' : line.wentOut ? 'went out today' : '';
  const faulty = line.faulty === null ? '' : `faulty: ${line.faulty}`;
  const where =
    line.last === null
      ? `in ${placeName(book, line.placeId ?? line.compartmentId)}`
      : lastText(book, line.last, now);
  return joined([rushes, whoseWord(line.whose), missing, out, where, faulty]);
}

export function lineName(line: Pick<CountLine, 'name' | 'kind' | 'expected'>): string {
  return line.kind === 'item' ? line.name : `${line.expected} × ${line.name}`;
}

interface StateWord {
  readonly word: string;
  readonly tone: Tone;
  readonly icon?: 'tick' | 'open' | 'missing' | 'person';
}

/** The word, tone and shape for the state of a line. */
export function stateOf(line: CountLine): StateWord {
  const said = line.said === null ? '' : SAID_WORDS[line.said.said];
  if (line.state === 'open') return { word: 'open', tone: 'ask', icon: 'open' };
  if (line.state === 'short') {
    return { word: `${line.found ?? 0} of ${line.expected} here`, tone: 'ask', icon: 'open' };
  }
  if (line.state === 'aboard') return { word: said || 'aboard', tone: 'good', icon: 'tick' };
  if (line.state === 'away') return { word: said || 'away', tone: 'plain', icon: 'person' };
  const number = line.kind === 'item' ? '' : `${line.absent} `;
  return { word: `${number}${said}`, tone: 'bad', icon: 'missing' };
}

const OUT_WORDS: Readonly<Record<StillOutLine['why'], string>> = {
  'not-found': 'not found yet',
  'did-not-come': 'did not come',
  'left-on-purpose': 'left on purpose',
  'with-somebody': 'with somebody',
  lend: 'lent',
  'hand-over': 'handed over',
  'rent-out': 'rented out',
};
export const outWord = (why: StillOutLine['why']): string => OUT_WORDS[why];

/** Where a thing that is out was last put down, by whom, with the words said of it, and for how long. */
export function outFacts(book: PhoneBook, line: StillOutLine): string {
  const days =
    line.days === null || line.days === 0 ? '' : `${line.days} ${line.days === 1 ? 'day' : 'days'}`;
  const where = line.placeId === null ? '' : placeName(book, line.placeId);
  return joined([whoseWord(line.whose), where, line.spot, personName(book, line.personId), line.note, days]);
}

/** "1 thing", "3 things". */
export function countText(number: number, one: string, many: string): string {
  return `${number} ${number === 1 ? one : many}`;
}
