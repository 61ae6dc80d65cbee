// A van is packed in the morning. What came aboard between the turn of the working day and the opening of the count is
// asked for as well, and what only went in to a stop and came back is not asked for twice.
import { beforeEach, describe, expect, test } from 'vitest';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
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
  takeBack,
  utc,
} from './count-making.ts';

const NIGHT = utc('2026-06-12T03:30:00Z'); // 04:30 in Lisbon, before the working day turns
const PACKING = utc('2026-06-12T06:00:00Z'); // 07:00 in Lisbon
const FIRST_STOP = utc('2026-06-12T09:00:00Z');
const NOON = utc('2026-06-12T12:00:00Z');
const OPENED = utc('2026-06-12T17:00:00Z');

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let store: PlaceId;
let stop: Stop;

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  store = addPlace(outfit, 'store', 'Boathouse');
  stop = makeStop(hide, 'Reedbed hide');
});

const open = () => openCount(outfit, OPENED, stop, truck);
const asked = () =>
  countOf(outfit, stop).lines.map(({ name, placeId, compartmentId, expected, state, wentOut }) => ({
    name,
    place: placeId ?? compartmentId,
    expected,
    state,
    wentOut,
  }));
const OPEN = { state: 'open', expected: 1, wentOut: false };
const packing = { why: 'tidy' as const };

describe('an item that was packed this morning', () => {
  let lens: ThingId;
  beforeEach(() => {
    lens = addItem(outfit, 'Long lens', store);
  });

  test('left at the first location, it is named, with where it was put down last', () => {
    say(outfit, PACKING, moveOf(lens, shelf));
    say(outfit, FIRST_STOP, goingIn(lens, hide, { spot: 'on the rail' }));
    open();
    expect(asked()).toEqual([{ ...OPEN, name: 'Long lens', place: shelf, wentOut: true }]);
    expect(lineOf(countOf(outfit, stop), lens).last).toMatchObject({ placeId: hide, spot: 'on the rail' });
  });

  test('is asked for in the place it was packed into, whatever it went through before', () => {
    say(outfit, PACKING - MINUTE, goingIn(lens, hide));
    say(outfit, PACKING, moveOf(lens, drawer, { check: null }));
    say(outfit, NOON, moveOf(lens, shelf, { check: null, why: 'tidy' }));
    open();
    expect(asked()).toEqual([{ ...OPEN, name: 'Long lens', place: drawer }]);
  });

  test('taken back to the store before opening, it is not asked for', () => {
    say(outfit, PACKING, moveOf(lens, shelf));
    say(outfit, PACKING + MINUTE, moveOf(lens, store, packing));
    expect(open().lines).toEqual([]);
  });

  test('packed with a line that was taken back, or only at the opening, it is not asked for', () => {
    takeBack(outfit, NOON, say(outfit, PACKING, moveOf(lens, shelf)));
    say(outfit, OPENED, moveOf(lens, shelf));
    expect(open().lines).toEqual([]);
    expect(countOf(outfit, stop).extras.map((extra) => extra.thingId)).toEqual([lens]);
  });

  test('scanned aboard at the first stop, a borrowed one is expected at the second', () => {
    const borrowed = addItem(outfit, 'Borrowed lens', null, { whose: 'borrowed' });
    const first = makeStop(hide, 'Sluice gate');
    openCount(outfit, FIRST_STOP, first, truck);
    say(outfit, FIRST_STOP + MINUTE, moveOf(borrowed, shelf));
    expect(countOf(outfit, first).lines).toEqual([]);
    open();
    expect(asked()).toEqual([{ ...OPEN, name: 'Borrowed lens', place: shelf }]);
  });
});

describe('a case that was packed this morning', () => {
  test('brings what was in it overnight and what was put into it, in a pouch as well', () => {
    const box = addContainer(outfit, 'Case', store);
    const pouch = addContainer(outfit, 'Pouch', store);
    addItem(outfit, 'Card', pouch.insideId);
    const left = addItem(outfit, 'Boom', box.insideId);
    const put = addItem(outfit, 'Muff', store);
    say(outfit, PACKING - 3, moveOf(left, store, packing));
    say(outfit, PACKING - 2, moveOf(put, box.insideId, packing));
    say(outfit, PACKING - 1, moveOf(pouch.thingId, box.insideId, packing));
    say(outfit, PACKING, moveOf(box.thingId, shelf, packing));
    say(outfit, FIRST_STOP, goingIn(box.thingId, hide));
    open();
    expect(asked()).toEqual(
      ['Card', 'Case', 'Muff', 'Pouch'].map((name) => ({ ...OPEN, name, place: shelf, wentOut: true })),
    );
  });

  test('what is put into a case that is aboard came aboard with that', () => {
    const box = addContainer(outfit, 'Case', shelf);
    addItem(outfit, 'Monitor', store);
    const muff = addItem(outfit, 'Muff', store);
    say(outfit, PACKING, moveOf(muff, box.insideId, packing));
    say(outfit, FIRST_STOP, goingIn(box.thingId, hide));
    open();
    expect(asked().map((line) => [line.name, line.wentOut])).toEqual([
      ['Case', true],
      ['Muff', true],
    ]);
  });

  test('handed back to the store before opening, neither it nor what is in it is asked for', () => {
    const box = addContainer(outfit, 'Case', store);
    addItem(outfit, 'Boom', box.insideId);
    addNumbers(outfit, 'counted', 'Plates', [[box.insideId, 3]]);
    say(outfit, PACKING, moveOf(box.thingId, shelf, packing));
    expect(countOfOpen()).toEqual(['Boom', 'Case', 'Plates']);
    say(outfit, NOON, moveOf(box.thingId, store, packing));
    expect(asked()).toEqual([]);
  });

  const countOfOpen = () =>
    open()
      .lines.map((line) => line.name)
      .sort();
});

describe('counted gear', () => {
  let clamps: ThingId;
  beforeEach(() => {
    clamps = addNumbers(outfit, 'counted', 'Clamps', [
      [store, 20],
      [shelf, 4],
    ]);
  });
  const pack = (number: number, toId: PlaceId, at = PACKING, fromId: PlaceId | null = store) =>
    say(outfit, at, numberOf(clamps, number, fromId, toId, packing));
  const loadIn = (number: number, at: number, from = shelf) =>
    say(outfit, at, numberOf(clamps, number, from, hide));
  const back = (number: number, at: number, to = shelf) =>
    say(outfit, at, numberOf(clamps, number, hide, to, { why: 'wrap' }));
  const numbers = () =>
    countOf(outfit, stop).lines.map(({ placeId, expected, wentOut }) => [placeId, expected, wentOut]);

  test('packed in number, it is asked for where it was packed, beside what was there', () => {
    pack(6, shelf);
    pack(2, drawer, PACKING + 1, null);
    loadIn(5, FIRST_STOP);
    open();
    expect(numbers().sort()).toEqual(
      [
        [shelf, 10, true],
        [drawer, 2, false],
      ].sort(),
    );
    expect(countOf(outfit, stop).sums.expected).toBe(12);
  });

  test('packed before the working day turned, it is asked for once', () => {
    pack(6, shelf, NIGHT);
    open();
    expect(numbers()).toEqual([[shelf, 10, false]]);
  });

  test('a load-in and back at an earlier stop changes nothing, also in two parts or into another place', () => {
    loadIn(4, FIRST_STOP);
    back(1, FIRST_STOP + 1);
    back(3, FIRST_STOP + 2, drawer);
    open();
    expect(numbers()).toEqual([[shelf, 4, true]]);
  });

  test('more back than went in was picked up there, and is asked for', () => {
    loadIn(3, FIRST_STOP);
    back(5, NOON);
    open();
    expect(numbers()).toEqual([[shelf, 6, true]]);
  });

  test('packed, then put away again before opening, it is not asked for; lent and back it is', () => {
    pack(6, drawer);
    say(outfit, PACKING + 1, numberOf(clamps, 6, drawer, store, packing));
    say(outfit, PACKING + 2, numberOf(clamps, 1, shelf, store, packing));
    open();
    expect(numbers()).toEqual([[shelf, 3, false]]);
    say(outfit, PACKING + 3, numberOf(clamps, 1, store, shelf, packing));
    expect(numbers()).toEqual([[shelf, 4, false]]);
    say(outfit, PACKING + 4, numberOf(clamps, 2, store, drawer, packing));
    expect(numbers().sort()).toEqual(
      [
        [shelf, 4, false],
        [drawer, 2, false],
      ].sort(),
    );
  });

  test('in a pouch that came aboard, and only what nobody asks for yet', () => {
    const pouch = addContainer(outfit, 'Pouch', store);
    pack(5, pouch.insideId, PACKING - 1);
    say(outfit, PACKING, moveOf(pouch.thingId, drawer, packing));
    say(outfit, FIRST_STOP, goingIn(pouch.thingId, hide));
    // Two of the shelf's come along in it, three more are brought to it from the store, and it is back.
    loadIn(2, FIRST_STOP + 1);
    say(outfit, FIRST_STOP + 2, numberOf(clamps, 2, hide, pouch.insideId, packing));
    pack(3, pouch.insideId, FIRST_STOP + 3);
    say(outfit, NOON, moveOf(pouch.thingId, drawer, packing));
    open();
    const own = countOf(outfit, stop).lines.filter((line) => line.thingId === clamps);
    expect(own.map((line) => [line.placeId, line.compartmentId, line.expected]).sort()).toEqual(
      [
        [shelf, shelf, 4],
        [pouch.insideId, drawer, 8],
      ].sort(),
    );
  });

  test('a pouch hand-counted in the store brings the number that was counted', () => {
    const pouch = addContainer(outfit, 'Pouch', store);
    const plates = addNumbers(outfit, 'counted', 'Plates', [[pouch.insideId, 3]]);
    const context = { stopId: null, round: null, note: null, check: 'by-number' as const };
    say(outfit, PACKING - 1, {
      kind: 'hand-count',
      ...context,
      thingId: plates,
      toId: pouch.insideId,
      number: 2,
    });
    say(outfit, PACKING, moveOf(pouch.thingId, drawer, packing));
    open();
    expect(gistOf(lineOf(countOf(outfit, stop), plates))).toMatchObject({ expected: 2, state: 'open' });
  });

  test('counted in full it is aboard, counted as before the packing it is short', () => {
    pack(6, shelf);
    open();
    const counted = { stopId: stop.id, round: 1, note: null, thingId: clamps, toId: shelf };
    say(outfit, OPENED + 1, { kind: 'hand-count', ...counted, number: 4, check: 'by-number' });
    expect(gistOf(lineOf(countOf(outfit, stop), clamps))).toMatchObject({ state: 'short', expected: 10 });
    say(outfit, OPENED + 2, { kind: 'hand-count', ...counted, number: 10, check: 'by-number' });
    expect(gistOf(lineOf(countOf(outfit, stop), clamps))).toMatchObject({ state: 'aboard', found: 10 });
  });
});
