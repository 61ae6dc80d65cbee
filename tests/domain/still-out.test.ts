// The still-out-there list: what gets onto it, what takes it off, and what comes first.
import { beforeEach, describe, expect, test } from 'vitest';
import { countByNumber, findAbsent, findPlaced } from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { movementIdSchema } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import { stillOut, stillOutLineSchema } from '#domain/still-out.ts';
import {
  addClass,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  countOf,
  FRIEND_OF_CREW,
  goingIn,
  LONG_AGO,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  numberOf,
  type Outfit,
  openCount,
  PERSON,
  say,
  sayAll,
  takeBack,
  utc,
} from './count-making.ts';

const OPENED = utc('2026-06-12T17:00:00Z');
const LATER = OPENED + 5 * MINUTE;
const DAY = 24 * 60 * MINUTE;
const NOW = LATER + 3 * DAY + 5 * MINUTE;

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let charger: ThingId;
let clamps: ThingId;

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  friend = addPlace(outfit, 'party', 'Ines, boat crew');
  stop = makeStop(hide, 'Reedbed hide');
  const chargers = addClass(outfit, 'charger', { forgotten: 3 });
  charger = addItem(outfit, 'Charger', shelf, { classId: chargers, valueRank: 4 });
  clamps = addNumbers(outfit, 'counted', 'Clamps', [[shelf, 4]]);
  openCount(outfit, OPENED, stop, truck);
});

const list = (more: { dayBeganAt?: number } = {}) =>
  stillOut({ book: bookOf(outfit), ...outfit, now: NOW, ...more });
const gist = () =>
  list().map(({ thingId, number, why, since, placeId }) => ({ thingId, number, why, since, placeId }));
const find = (at: number, thingId = charger, more: { number?: number; note?: string } = {}) => {
  const count = countOf(outfit, stop);
  return say(outfit, at, findAbsent(count, lineOf(count, thingId), 'not-found', more));
};
const NOT_FOUND = { number: 1, why: 'not-found', since: LATER };

describe('an item', () => {
  test('not found is listed with where it was last put down, by whom, since when and how many days ago', () => {
    say(
      outfit,
      OPENED - MINUTE,
      goingIn(charger, hide, { spot: 'wall socket', stopId: stop.id }),
      FRIEND_OF_CREW,
    );
    const finding = find(LATER, charger, { note: 'look at the bar' });
    expect(list()).toEqual([
      {
        thingId: charger,
        kind: 'item',
        name: 'Charger',
        whose: 'ours',
        number: 1,
        why: 'not-found',
        lineId: finding.id,
        since: LATER,
        days: 3,
        placeId: hide,
        spot: 'wall socket',
        personId: FRIEND_OF_CREW,
        stopId: stop.id,
        note: 'look at the bar',
        present: null,
        outThere: [],
        urgency: 'by-value',
        forgotten: 3,
        valueRank: 4,
      },
    ]);
    expect(list().map((line) => stillOutLineSchema.parse(line))).toEqual(list());
  });

  test('merely out of the vehicle is not listed: nobody has said anything of it', () => {
    say(outfit, LATER, goingIn(charger, hide));
    expect(list()).toEqual([]);
  });

  test('a second finding keeps the first date; a check, a load-in or a move by the desk ends it', () => {
    find(LATER);
    find(LATER + DAY);
    expect(gist()).toEqual([{ ...NOT_FOUND, thingId: charger, placeId: shelf }]);
    for (const found of [
      moveOf(charger, shelf, { check: 'seen' }),
      goingIn(charger, hide),
      moveOf(charger, shelf, { check: null, why: 'tidy' }),
    ]) {
      say(outfit, LATER + 2 * DAY, found);
      expect(list()).toEqual([]);
      outfit.lines.pop();
    }
  });

  test('a finding that is taken back, or set aside by a scan the finder was not shown, lists nothing', () => {
    takeBack(outfit, LATER + 1, find(LATER));
    expect(list()).toEqual([]);
    const count = countOf(outfit, stop);
    const unknowing = findAbsent(count, lineOf(count, charger), 'not-found');
    say(outfit, LATER, moveOf(charger, shelf));
    say(outfit, LATER + 1, unknowing);
    expect(list()).toEqual([]);
  });

  test('a finder who was shown the scan is believed', () => {
    say(outfit, LATER - 1, moveOf(charger, shelf));
    find(LATER);
    expect(gist()).toEqual([{ ...NOT_FOUND, thingId: charger, placeId: shelf }]);
  });

  test('did not come is listed as that; not ours takes it off the list', () => {
    const count = countOf(outfit, stop);
    say(outfit, LATER, findAbsent(count, lineOf(count, charger), 'did-not-come'));
    expect(gist()).toEqual([{ ...NOT_FOUND, thingId: charger, placeId: shelf, why: 'did-not-come' }]);
    say(outfit, LATER + 1, findAbsent(count, lineOf(count, charger), 'not-ours'));
    expect(list()).toEqual([]);
  });

  test.each(['left-on-purpose', 'with-somebody', 'lend', 'hand-over', 'rent-out'] as const)(
    '%s is listed with its own words until a later move',
    (why) => {
      const line = say(
        outfit,
        LATER,
        moveOf(charger, friend, { why, check: null, spot: 'in her van', note: 'till Monday' }),
      );
      expect(list()).toMatchObject([
        {
          why,
          lineId: line.id,
          since: LATER,
          days: 3,
          placeId: friend,
          spot: 'in her van',
          personId: PERSON,
          note: 'till Monday',
        },
      ]);
      say(outfit, LATER + DAY, moveOf(charger, shelf));
      expect(list()).toEqual([]);
    },
  );

  test('consumed is not waited for', () => {
    say(outfit, LATER, moveOf(charger, friend, { why: 'consumed' }));
    expect(list()).toEqual([]);
  });

  test('a loan older than the lines of the book is known by its position', () => {
    const lent = addItem(outfit, 'Old monitor', null);
    const movementId = movementIdSchema.parse('00000000-0000-7000-8000-00000000000a');
    const how = { spot: null, why: 'lend' as const, personId: null, stopId: null };
    outfit.base.push({ thingId: lent, placeId: friend, at: LONG_AGO, movementId, ...how });
    expect(list()).toMatchObject([
      { thingId: lent, why: 'lend', since: LONG_AGO, lineId: movementId, note: null },
    ]);
  });

  test('written off, or another entry of the same thing, it is off the list', () => {
    find(LATER);
    const known = outfit.things.get(charger);
    if (known === undefined) throw new Error('the charger is known');
    outfit.things.set(charger, { ...known, writtenOff: true });
    expect(list()).toEqual([]);
    outfit.things.set(charger, { ...known, mergedIntoId: clamps });
    expect(list()).toEqual([]);
  });
});

describe('counted gear', () => {
  const count = (number: number, at: number) => {
    const now = countOf(outfit, stop);
    return say(outfit, at, countByNumber(now, lineOf(now, clamps), number));
  };

  test('missing pieces are listed by number, and come back by a count that finds more', () => {
    count(1, LATER - 1);
    find(LATER, clamps);
    expect(gist()).toEqual([{ ...NOT_FOUND, thingId: clamps, number: 3, placeId: shelf }]);
    count(1, LATER + DAY);
    expect(gist()).toMatchObject([{ number: 3 }]);
    count(3, LATER + DAY + 1);
    expect(gist()).toMatchObject([{ number: 1, since: LATER }]);
    count(4, LATER + DAY + 2);
    expect(list()).toEqual([]);
  });

  test('said to be missing before anybody counted, the rest of what the ledger has is what is there', () => {
    find(LATER, clamps, { number: 1 });
    count(3, LATER + 1);
    expect(gist()).toMatchObject([{ number: 1 }]);
    count(4, LATER + 2);
    expect(list()).toEqual([]);
  });

  test('a second finding says its own number, and keeps the first date', () => {
    find(LATER, clamps, { number: 1 });
    find(LATER + 1, clamps, { number: 2 });
    expect(gist()).toEqual([{ ...NOT_FOUND, thingId: clamps, number: 2, placeId: shelf }]);
    count(2, LATER + 2);
    expect(gist()).toMatchObject([{ number: 2 }]);
    const now = countOf(outfit, stop);
    say(outfit, LATER + 3, findAbsent(now, lineOf(now, clamps), 'not-ours'));
    expect(list()).toEqual([]);
  });

  test('what went elsewhere or came from elsewhere meanwhile is not taken for what was missing', () => {
    find(LATER, clamps, { number: 1 });
    say(outfit, LATER + 1, numberOf(clamps, 2, shelf, hide));
    count(1, LATER + 2);
    say(outfit, LATER + 3, numberOf(clamps, 2, hide, shelf, { why: 'wrap' }));
    count(3, LATER + 4);
    expect(gist()).toMatchObject([{ number: 1 }]);
  });

  test('a number that was lent is listed where it is, for as much as is still there', () => {
    const now = countOf(outfit, stop);
    const placing = { why: 'lend' as const, toId: friend, spot: null, note: 'for the gala', number: 3 };
    const [lent] = sayAll(outfit, LATER, findPlaced(now, lineOf(now, clamps), placing));
    expect(list()).toMatchObject([
      {
        thingId: clamps,
        number: 3,
        why: 'lend',
        placeId: friend,
        lineId: lent?.id,
        note: 'for the gala',
        since: LATER,
      },
    ]);
    say(outfit, LATER + 1, numberOf(clamps, 2, friend, shelf, { why: 'wrap' }));
    expect(gist()).toMatchObject([{ number: 1, why: 'lend' }]);
    say(outfit, LATER + 2, numberOf(clamps, 1, friend, shelf, { why: 'wrap' }));
    expect(list()).toEqual([]);
  });

  test('what only an older book knows to be with a party is with somebody, since nobody knows when', () => {
    const poles = addNumbers(outfit, 'counted', 'Poles', [
      [friend, 2],
      [hide, 1],
    ]);
    expect(list()).toMatchObject([
      { thingId: poles, number: 2, why: 'with-somebody', since: null, days: null, lineId: null },
    ]);
  });

  test('a consumable is never on the list', () => {
    const tape = addNumbers(outfit, 'consumable', 'Tape', [[shelf, 3]]);
    say(outfit, LATER, numberOf(tape, 1, shelf, friend, { why: 'lend' }));
    expect(list()).toEqual([]);
  });
});

describe('in what order', () => {
  test('missing before today first, then what cannot be replaced, what stops the shoot, the most forgotten, value', () => {
    const essential = addClass(outfit, 'camera body', { essential: true });
    const body = addItem(outfit, 'Body', shelf, { classId: essential });
    const lens = addItem(outfit, 'Borrowed lens', shelf, { whose: 'borrowed' });
    const dear = addItem(outfit, 'Slider', shelf, { valueRank: 9 });
    const cheap = addItem(outfit, 'Bag', shelf, { valueRank: 1 });
    for (const thingId of [cheap, dear, lens, body])
      say(outfit, LATER, moveOf(thingId, friend, { why: 'lend' }));
    find(LATER);
    expect(list().map((line) => line.thingId)).toEqual([charger, lens, body, dear, cheap]);
    expect(list({ dayBeganAt: LATER + 1 })[0]?.thingId).toBe(charger);
    expect(list({ dayBeganAt: LATER }).map((line) => line.thingId)).toEqual([
      lens,
      body,
      charger,
      dear,
      cheap,
    ]);
  });

  test('days are whole, and never below nought when a clock runs ahead', () => {
    find(LATER);
    const daysAt = (now: number) => stillOut({ book: bookOf(outfit), ...outfit, now })[0]?.days;
    expect([LATER - 1, LATER + DAY - 1, LATER + DAY].map(daysAt)).toEqual([0, 0, 1]);
  });
});
