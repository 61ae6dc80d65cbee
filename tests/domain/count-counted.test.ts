// Counted gear in a count: one line for each place aboard, hand counts, gaps, and what covers them.
import { beforeEach, describe, expect, test } from 'vitest';
import { answerBySight } from '#domain/by-sight.ts';
import {
  answerNotOpened,
  checkLine,
  closingOf,
  countByNumber,
  findAbsent,
  findPlaced,
} from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import type { Stop } from '#domain/place.ts';
import {
  addContainer,
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  countOf,
  gistOf,
  goingIn,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  numberOf,
  type Outfit,
  openCount,
  say,
  sayAll,
  takeBack,
  utc,
} from './count-making.ts';

const NOON = utc('2026-06-12T11:00:00Z');
const OPENED = utc('2026-06-12T17:00:00Z');
const LATER = OPENED + 5 * MINUTE;
const NEXT_DAY = utc('2026-06-13T09:00:00Z');

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let clamps: ThingId;

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  friend = addPlace(outfit, 'party', 'Ines, boat crew');
  stop = makeStop(hide, 'Reedbed hide');
  clamps = addNumbers(outfit, 'counted', 'Clamps', [[shelf, 4]]);
});

const open = (at = OPENED, of = stop) => openCount(outfit, at, of, truck);
const line = (of = stop) => lineOf(countOf(outfit, of), clamps, shelf);
const gist = (of = stop) => gistOf(line(of));
const count = (number: number, at = LATER) =>
  say(outfit, at, countByNumber(countOf(outfit, stop), line(), number));
const find = (at: number, number?: number) =>
  say(
    outfit,
    at,
    findAbsent(countOf(outfit, stop), line(), 'not-found', number === undefined ? {} : { number }),
  );
const lend = { why: 'lend' as const, spot: null, note: null };
const OPEN = {
  state: 'open',
  said: null,
  by: null,
  found: null,
  absent: 0,
  expected: 4,
  missingSince: null,
  wentOut: false,
};

describe('what is asked for', () => {
  test('one line for each place aboard that held some when the day began', () => {
    const pouch = addContainer(outfit, 'Pouch', drawer);
    const store = addPlace(outfit, 'store', 'Boathouse');
    const plates = addNumbers(outfit, 'counted', 'Plates', [
      [drawer, 2],
      [pouch.insideId, 3],
      [store, 7],
      [truck, 0],
    ]);
    open();
    const own = countOf(outfit, stop).lines.filter((known) => known.thingId === plates);
    expect(
      own.map(({ placeId, compartmentId, expected }) => [placeId, compartmentId, expected]).sort(),
    ).toEqual(
      [
        [drawer, drawer, 2],
        [pouch.insideId, drawer, 3],
      ].sort(),
    );
  });

  test('what went in to the stop by number is asked for still, and shows where it went', () => {
    const out = say(outfit, NOON, numberOf(clamps, 3, shelf, hide, { spot: 'on the rail' }));
    open();
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
    expect(line().last).toMatchObject({ placeId: hide, spot: 'on the rail', movementId: out.id });
  });

  test('what was lent before opening is not asked for, and is when it came back', () => {
    say(outfit, NOON, numberOf(clamps, 1, shelf, friend, { why: 'lend' }));
    open();
    expect(gist()).toEqual({ ...OPEN, expected: 3 });
    say(outfit, NOON + 1, numberOf(clamps, 1, friend, shelf, { why: 'wrap' }));
    expect(gist()).toEqual(OPEN);
  });

  test('all of it lent before opening is no line; more than all is no less', () => {
    say(outfit, NOON, numberOf(clamps, 5, shelf, friend, { why: 'lend' }));
    open();
    expect(countOf(outfit, stop).lines).toEqual([]);
  });
});

describe('hand counts', () => {
  test('as many as asked for, or more, is aboard', () => {
    open();
    const exact = count(4);
    expect(gist()).toEqual({ ...OPEN, state: 'aboard', said: 'by-number', by: exact.id, found: 4 });
    const more = count(6, LATER + 1);
    expect(gist()).toEqual({ ...OPEN, state: 'aboard', said: 'by-number', by: more.id, found: 6 });
    expect(countOf(outfit, stop).sums.aboard).toBe(4);
  });

  test('fewer is short, and holds the count open until the gap is covered', () => {
    open();
    const short = count(1);
    expect(gist()).toEqual({ ...OPEN, state: 'short', said: 'by-number', by: short.id, found: 1 });
    find(LATER + 1, 2);
    expect(gist()).toMatchObject({ state: 'short', absent: 2 });
    expect(countOf(outfit, stop).mayClose).toBe(false);
    const rest = find(LATER + 2, 3);
    expect(gist()).toEqual({
      ...OPEN,
      state: 'absent',
      said: 'not-found',
      by: rest.id,
      found: 1,
      absent: 3,
      missingSince: LATER + 1,
    });
    expect(countOf(outfit, stop).sums).toMatchObject({ expected: 4, aboard: 1, notFound: 3 });
  });

  test('a finding says the whole gap when it names no number itself', () => {
    open();
    count(1);
    expect(find(LATER + 1)).toMatchObject({ kind: 'absence', number: 3, toId: shelf });
  });

  test('none of them counted at all, the finding has to cover all of them', () => {
    open();
    find(LATER, 3);
    expect(gist()).toMatchObject({ state: 'open', absent: 3 });
    find(LATER + 1, 4);
    expect(gist()).toMatchObject({ state: 'absent', absent: 4, found: null });
  });

  test('a later count of all of them sets the finding aside', () => {
    open();
    count(3);
    find(LATER + 1, 1);
    const all = count(4, LATER + 2);
    expect(gist()).toEqual({ ...OPEN, state: 'aboard', said: 'by-number', by: all.id, found: 4 });
  });

  test('a later finding stands against an earlier count of all of them', () => {
    open();
    count(4);
    const finding = find(LATER + 1, 1);
    expect(gist()).toMatchObject({ state: 'absent', by: finding.id, absent: 1, found: 4 });
  });

  test('a count before opening, at another place or taken back is none', () => {
    open();
    takeBack(outfit, LATER + 1, count(4));
    say(outfit, LATER, countByNumber(countOf(outfit, stop), { ...line(), placeId: drawer }, 4));
    say(outfit, OPENED - 1, countByNumber(countOf(outfit, stop), line(), 4));
    expect(gist()).toEqual(OPEN);
  });

  test('a count without a check is by number; one by sight says so', () => {
    open();
    const fact = countByNumber(countOf(outfit, stop), line(), 4);
    say(outfit, LATER, { ...fact, check: null });
    expect(gist().said).toBe('by-number');
    say(outfit, LATER + 1, checkLine(countOf(outfit, stop), line(), 'by-sight'));
    expect(gist()).toMatchObject({ state: 'aboard', said: 'by-sight', found: 4 });
  });
});

describe('what moves by number after opening', () => {
  test('going in again leaves what was counted short', () => {
    open();
    count(4);
    say(outfit, LATER + 1, numberOf(clamps, 3, shelf, hide));
    expect(gist()).toMatchObject({ state: 'short', found: 1, wentOut: true });
    say(outfit, LATER + 2, numberOf(clamps, 3, hide, shelf, { why: 'wrap' }));
    expect(gist()).toMatchObject({ state: 'aboard', found: 4 });
  });

  test('lent out of a full count, the rest is still aboard', () => {
    open();
    count(4);
    say(outfit, LATER + 1, numberOf(clamps, 1, shelf, friend, { why: 'lend' }));
    expect(gist()).toMatchObject({ state: 'aboard', found: 3, expected: 3 });
    expect(countOf(outfit, stop).sums).toMatchObject({ expected: 4, aboard: 3, away: 1 });
  });

  test('a gap said to be lent is covered, and the ledger still holds what was counted', () => {
    open();
    count(3);
    sayAll(outfit, LATER + 1, findPlaced(countOf(outfit, stop), line(), { ...lend, toId: friend }));
    expect(gist()).toMatchObject({ state: 'aboard', found: 3, expected: 3 });
    const numbers = standingOf(bookOf(outfit)).levels.get(clamps);
    expect([numbers?.get(shelf), numbers?.get(friend)]).toEqual([3, 1]);
  });

  test('all of them said to be left on purpose is away, until they are back', () => {
    open();
    const placing = { why: 'left-on-purpose' as const, toId: hide, spot: 'hide floor', note: null };
    const [left] = sayAll(outfit, LATER, findPlaced(countOf(outfit, stop), line(), placing));
    expect(gist()).toMatchObject({ state: 'away', said: 'left-on-purpose', by: left?.id, expected: 4 });
    expect(countOf(outfit, stop).sums).toMatchObject({ expected: 4, away: 4 });
    say(outfit, LATER + 1, numberOf(clamps, 4, hide, shelf, { why: 'wrap' }));
    expect(gist()).toMatchObject({ state: 'open', expected: 4 });
  });

  test('checked into another place aboard, they are found there', () => {
    open();
    count(2);
    say(outfit, LATER + 1, numberOf(clamps, 2, shelf, drawer, { why: 'tidy', check: 'seen' }));
    expect(gist()).toMatchObject({ state: 'aboard', found: 2 });
  });
});

describe('with the container, by sight and not opened', () => {
  let pouch: ReturnType<typeof addContainer>;
  let plates: ThingId;
  const plateGist = () => gistOf(lineOf(countOf(outfit, stop), plates));
  beforeEach(() => {
    pouch = addContainer(outfit, 'Pouch', drawer);
    plates = addNumbers(outfit, 'counted', 'Plates', [[pouch.insideId, 2]]);
  });

  test('a sealed pouch, unbroken, answers for the number in it; going out again takes that back', () => {
    const facts = { stopId: null, round: null, note: null, thingId: pouch.thingId };
    say(outfit, NOON, { kind: 'seal', ...facts, contents: [plates], tie: null });
    open();
    const move = say(outfit, LATER, moveOf(pouch.thingId, drawer, { sealUnbroken: true }));
    expect(plateGist()).toEqual({
      ...OPEN,
      state: 'aboard',
      said: 'with-container',
      by: move.id,
      expected: 2,
    });
    say(outfit, LATER + 1, goingIn(pouch.thingId, hide));
    expect(plateGist()).toEqual({ ...OPEN, expected: 2, wentOut: true });
  });

  test('a pouch that is lent takes its number away, and back', () => {
    open();
    const lent = say(outfit, LATER, moveOf(pouch.thingId, friend, { why: 'lend' }));
    expect(plateGist()).toEqual({ ...OPEN, state: 'away', said: 'lend', by: lent.id, expected: 2 });
    say(outfit, LATER + 1, moveOf(pouch.thingId, drawer));
    expect(plateGist()).toEqual({ ...OPEN, expected: 2 });
  });

  test('by sight vouches for the number asked for, less what was said to be missing', () => {
    open();
    find(LATER, 1);
    sayAll(outfit, LATER + 1, answerBySight(countOf(outfit, stop), shelf));
    expect(gist()).toMatchObject({ state: 'absent', found: 3, absent: 1, missingSince: LATER });
  });

  test('not opened vouches for what stayed in, not for what went out and not past a finding', () => {
    const opened = open();
    const answer = say(outfit, LATER, answerNotOpened(opened, shelf));
    expect(gist()).toEqual({ ...OPEN, state: 'aboard', said: 'not-opened', by: answer.id });
    expect(countOf(outfit, stop).sums.aboard).toBe(4);
    find(LATER + 1, 1);
    expect(gist()).toMatchObject({ state: 'open', absent: 1 });
    outfit.lines.pop();
    say(outfit, NOON, numberOf(clamps, 1, shelf, hide));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });
});

describe('from stop to stop, and after the closing', () => {
  test('a finding of an earlier stop of the day covers its number, and the rest is asked for', () => {
    const earlier = makeStop(hide, 'Sluice gate');
    const first = openCount(outfit, NOON, earlier, truck);
    say(outfit, NOON + 1, findAbsent(first, lineOf(first, clamps), 'not-found', { number: 1 }));
    open();
    expect(gist()).toEqual({ ...OPEN, absent: 1, missingSince: NOON + 1 });
    count(3);
    expect(gist()).toMatchObject({ state: 'absent', found: 3, absent: 1, said: 'not-found' });
  });

  test('what was counted at the closing is not made short by the next day', () => {
    open();
    count(4);
    say(outfit, LATER + 1, closingOf(countOf(outfit, stop)));
    say(outfit, NEXT_DAY, numberOf(clamps, 4, shelf, hide));
    expect(gist()).toMatchObject({ state: 'aboard', found: 4, wentOut: false });
  });

  test('what was missing at the closing is found by a count of the next day', () => {
    open();
    count(3);
    find(LATER + 1, 1);
    say(outfit, LATER + 2, closingOf(countOf(outfit, stop)));
    say(outfit, NEXT_DAY, numberOf(clamps, 2, shelf, hide));
    expect(gist()).toMatchObject({ state: 'absent', found: 3 });
    count(4, NEXT_DAY + 1);
    expect(gist()).toMatchObject({ state: 'aboard', found: 4, missingSince: null });
  });
});
