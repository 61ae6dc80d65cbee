// What was last said of a line decides it, each rule as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addVehicle,
  countOf,
  gistOf,
  goingIn,
  lineOf,
  moveOf,
  type Outfit,
  openCount,
  say,
  takeBack,
} from './count-making.ts';
import { ABOARD, LATER, LOAD_IN, makeScene, OPEN, OPENED } from './count-scene.ts';

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let stop: Stop;
let lens: ThingId;

beforeEach(() => {
  ({ outfit, truck, shelf, drawer, hide, stop, lens } = makeScene());
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));

describe('the latest word since opening decides a line', () => {
  test('a check from before opening says only where to look', () => {
    say(outfit, LOAD_IN, goingIn(lens, hide, { spot: 'on the rail' }));
    say(outfit, OPENED - 1, moveOf(lens, shelf));
    open();
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
    expect(lineOf(countOf(outfit, stop), lens).last?.placeId).toBe(shelf);
  });

  test('a scan at the very millisecond of the opening counts', () => {
    open();
    const scan = say(outfit, OPENED, moveOf(lens, shelf));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test.each(['scanned', 'seen', 'by-number', 'by-sight'] as const)(
    'an item answered for %s is aboard, and says so',
    (check) => {
      open();
      const line = say(outfit, LATER, moveOf(lens, shelf, { check }));
      expect(gist()).toEqual({ ...ABOARD, said: check, by: line.id });
    },
  );

  test.each([null, 'with-container', 'not-opened'] as const)(
    'a move of its own that had it before nobody’s eyes (%s) answers for nothing',
    (check) => {
      open();
      say(outfit, LATER, moveOf(lens, shelf, { check }));
      expect(gist()).toEqual(OPEN);
    },
  );

  test('a move to the drawer by the desk does not take back a scan', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER + 1, moveOf(lens, drawer, { check: null, why: 'tidy' }));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a load-in after the scan reopens the line', () => {
    open();
    say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER + 1, goingIn(lens, hide));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('a scan into another vehicle is not aboard this one', () => {
    open();
    const boat = addVehicle(outfit, 'Flat boat');
    say(outfit, LATER, moveOf(lens, boat));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('lines of one millisecond are ordered by id', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER, goingIn(lens, hide));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
    outfit.lines.pop();
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a void takes a scan back, whenever it arrives', () => {
    open();
    takeBack(outfit, LATER + 1, say(outfit, LATER, moveOf(lens, shelf)));
    expect(gist()).toEqual(OPEN);
  });
});
