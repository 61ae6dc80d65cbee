// Counted gear that was loaded in and is counted by hand at the wrap: no piece may stand at two places afterwards.
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import { answerBySight } from '#domain/by-sight.ts';
import {
  answerHere,
  answerNumber,
  countByNumber,
  type Fact,
  findAbsent,
  findPlaced,
} from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import { takeOut } from '#domain/out-there.ts';
import type { Stop } from '#domain/place.ts';
import { stillOut } from '#domain/still-out.ts';
import {
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  countOf,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  numberOf,
  type Outfit,
  openCount,
  say,
  sayAll,
  utc,
} from './count-making.ts';

const NOON = utc('2026-06-12T11:00:00Z');
const OPENED = utc('2026-06-12T17:00:00Z');
const LATER = OPENED + 5 * MINUTE;

let outfit: Outfit;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let bar: PlaceId;
let friend: PlaceId;
let stop: Stop;
let clamps: ThingId;

function begin(): void {
  outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  bar = addPlace(outfit, 'location', 'Sluice bar');
  friend = addPlace(outfit, 'party', 'Ines, boat crew');
  stop = makeStop(hide, 'Reedbed hide');
  clamps = addNumbers(outfit, 'counted', 'Clamps', [[shelf, 4]]);
  openCount(outfit, OPENED, stop, truck);
}
beforeEach(begin);

const line = (placeId = shelf) => lineOf(countOf(outfit, stop), clamps, placeId);
const goesIn = (number: number, toId = hide, at = NOON, fromId = shelf) =>
  say(outfit, at, numberOf(clamps, number, fromId, toId));
const answer = (facts: readonly Fact[], at = LATER) => sayAll(outfit, at, facts);
const allHere = (at = LATER) => answer(answerHere(countOf(outfit, stop), line(), 'by-number'), at);
function numbers(): Readonly<Record<string, number>> {
  const byName: Record<string, number> = {};
  for (const [placeId, number] of standingOf(bookOf(outfit)).levels.get(clamps) ?? [])
    byName[outfit.places.get(placeId)?.name ?? placeId] = number;
  return byName;
}
const out = () => stillOut({ book: bookOf(outfit), ...outfit, now: LATER + MINUTE });
const lend = { why: 'lend' as const, spot: null, note: null };

describe('what went out and is counted back', () => {
  test('the line says how many the ledger has here, and what stands out there, the last place first', () => {
    goesIn(1);
    goesIn(2, bar, NOON + 1);
    expect(line()).toMatchObject({
      here: 1,
      outThere: [
        { placeId: bar, number: 2 },
        { placeId: hide, number: 1 },
      ],
    });
    say(outfit, NOON + 2, numberOf(clamps, 1, bar, shelf, { why: 'wrap' }));
    expect(line().outThere).toEqual([
      { placeId: bar, number: 1 },
      { placeId: hide, number: 1 },
    ]);
  });

  test('all here: nothing is left standing where it went in, and the line is aboard', () => {
    goesIn(3);
    allHere();
    expect(numbers()).toEqual({ Shelf: 4 });
    expect(line()).toMatchObject({ state: 'aboard', found: 4, outThere: [] });
    expect(out()).toEqual([]);
  });

  test('by sight brings back as much as by number does', () => {
    goesIn(3);
    answer(answerBySight(countOf(outfit, stop), shelf));
    expect(numbers()).toEqual({ Shelf: 4 });
  });

  test('some here: only those that are back come back, and the rest is found by a second count', () => {
    goesIn(3);
    answer(answerNumber(countOf(outfit, stop), line(), 3));
    expect(numbers()).toEqual({ Shelf: 3, 'Reedbed hide': 1 });
    answer(findFacts(), LATER + 10);
    expect(out()).toMatchObject([{ number: 1, why: 'not-found', outThere: [{ placeId: hide, number: 1 }] }]);
    answer(answerNumber(countOf(outfit, stop), line(), 4), LATER + 20);
    expect(numbers()).toEqual({ Shelf: 4 });
    expect(out()).toEqual([]);
  });

  test('what was said to be missing first stays out there, and the others come back', () => {
    goesIn(3);
    answer([findAbsent(countOf(outfit, stop), line(), 'not-found', { number: 1 })]);
    allHere(LATER + 10);
    expect(numbers()).toEqual({ Shelf: 3, 'Reedbed hide': 1 });
    expect(line()).toMatchObject({ state: 'absent', found: 3, absent: 1 });
  });

  test('hand counts of an older phone, which bring nothing back, find what was missing all the same', () => {
    goesIn(3);
    answer([findAbsent(countOf(outfit, stop), line(), 'not-found', { number: 1 })]);
    answer([countByNumber(countOf(outfit, stop), line(), 3)], LATER + 10);
    expect(out()).toMatchObject([{ number: 1, present: 3 }]);
    answer([countByNumber(countOf(outfit, stop), line(), 4)], LATER + 20);
    expect(out()).toEqual([]);
  });

  test('what went in after the finding and came back is none of what is missing', () => {
    goesIn(2);
    answer([findAbsent(countOf(outfit, stop), line(), 'not-found', { number: 1 })]);
    goesIn(2, hide, LATER + 10);
    say(outfit, LATER + 20, numberOf(clamps, 3, hide, shelf, { why: 'wrap' }));
    expect(out()).toMatchObject([{ number: 1 }]);
    say(outfit, LATER + 30, numberOf(clamps, 1, hide, shelf, { why: 'wrap' }));
    expect(out()).toEqual([]);
  });

  test('missing pieces that were written off by their finding are no longer named, on a phone as well', () => {
    goesIn(3);
    answer(answerNumber(countOf(outfit, stop), line(), 1));
    const [finding] = answer(findFacts(), LATER + 10);
    const known = outfit.things.get(clamps);
    if (known === undefined || finding === undefined) throw new Error('the clamps are known and missing');
    outfit.things.set(clamps, { ...known, writtenOffPieces: [{ lineId: finding.id, number: 2 }] });
    expect(out()).toMatchObject([{ number: 1 }]);
    outfit.things.set(clamps, { ...known, writtenOffPieces: [{ lineId: finding.id, number: 3 }] });
    expect(out()).toEqual([]);
  });

  test('all here also clears what an older hand count of the day had left standing out there', () => {
    goesIn(3);
    answer([countByNumber(countOf(outfit, stop), line(), 4)]);
    expect(numbers()).toEqual({ Shelf: 4, 'Reedbed hide': 3 });
    allHere(LATER + 10);
    expect(numbers()).toEqual({ Shelf: 4 });
  });

  test('one lent of three that are out leaves two of them out', () => {
    goesIn(3);
    answer(findPlaced(countOf(outfit, stop), line(), { ...lend, toId: friend, number: 1 }));
    expect(numbers()).toEqual({ Shelf: 1, 'Reedbed hide': 2, 'Ines, boat crew': 1 });
  });

  test('left where it went in stands there once', () => {
    goesIn(3);
    const placing = {
      why: 'left-on-purpose' as const,
      toId: hide,
      spot: 'hide floor',
      note: null,
      number: 2,
    };
    answer(findPlaced(countOf(outfit, stop), line(), placing));
    answer(answerNumber(countOf(outfit, stop), line(), 2), LATER + 10);
    expect(numbers()).toEqual({ Shelf: 2, 'Reedbed hide': 2 });
    expect(line()).toMatchObject({ state: 'aboard', found: 2, expected: 2 });
    expect(out()).toMatchObject([{ number: 2, why: 'left-on-purpose', placeId: hide }]);
  });

  test('lent after a count that was short: each piece is here, out there or with the friend', () => {
    goesIn(3);
    answer(answerNumber(countOf(outfit, stop), line(), 2));
    answer(findPlaced(countOf(outfit, stop), line(), { ...lend, toId: friend }), LATER + 10);
    expect(numbers()).toEqual({ Shelf: 2, 'Ines, boat crew': 2 });
    expect(line()).toMatchObject({ state: 'aboard' });
  });

  test('what was lent, and what was taken to another place aboard, is not called back', () => {
    say(outfit, NOON, numberOf(clamps, 1, shelf, friend, { why: 'lend' }));
    say(outfit, NOON + 1, numberOf(clamps, 1, shelf, drawer, { why: 'tidy', check: 'seen' }));
    expect(line()).toMatchObject({ here: 2, outThere: [] });
  });

  test('pieces of two places that stand together are each called back once', () => {
    outfit.levels.push({ thingId: clamps, placeId: drawer, number: 2 });
    goesIn(2);
    goesIn(2, hide, NOON + 1, drawer);
    say(outfit, NOON + 2, { ...numberOf(clamps, 1, hide, null, { why: 'consumed' }) });
    expect([line(shelf).outThere, line(drawer).outThere]).toEqual([
      [{ placeId: hide, number: 2 }],
      [{ placeId: hide, number: 1 }],
    ]);
  });

  test('what went in on an earlier day is no matter of today', () => {
    goesIn(2, hide, NOON - 24 * 60 * MINUTE);
    expect(line()).toMatchObject({ expected: 2, outThere: [] });
  });
});

const findFacts = (): readonly Fact[] => [findAbsent(countOf(outfit, stop), line(), 'not-found')];

test('however many went in and however many are counted, no piece stands at two places and none below nought', () => {
  const numberIn = fc.integer({ min: 0, max: 4 });
  fc.assert(
    fc.property(numberIn, numberIn, fc.array(numberIn, { maxLength: 3 }), (atHide, atBar, counted) => {
      begin();
      const second = Math.min(atBar, 4 - atHide);
      if (atHide > 0) goesIn(atHide);
      if (second > 0) goesIn(second, bar, NOON + 1);
      for (const [index, number] of [...counted, 4].entries()) {
        answer(answerNumber(countOf(outfit, stop), line(), number), LATER + 100 * index);
        const levels = Object.values(numbers());
        expect(numbers().Shelf ?? 0).toBe(number);
        expect(Math.min(0, ...levels)).toBe(0);
        expect(levels.reduce((sum, here) => sum + here, 0)).toBeLessThanOrEqual(4);
      }
      expect(numbers()).toEqual({ Shelf: 4 });
    }),
  );
});

test('taking less than nothing takes nothing, and more than there is takes all', () => {
  const there = [
    { placeId: hide, number: 2 },
    { placeId: bar, number: 1 },
  ];
  expect([takeOut(there, -3), takeOut(there, 2), takeOut(there, 9)]).toEqual([[], [there[0]], there]);
});
