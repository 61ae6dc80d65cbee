// A hotel in the morning: what was taken in for the night must come out (the rule is the project's own; in the trade it is
// kept by hand as a room list).
import { beforeEach, describe, expect, test } from 'vitest';
import { answerBySight, sightPage } from '#domain/by-sight.ts';
import { answerHere, checkLine, closingOf } from '#domain/count-answers.ts';
import { countSchema } from '#domain/count-shape.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import type { Reason } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import {
  addContainer,
  addItem,
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
  utc,
} from './count-making.ts';

const EVENING = utc('2026-06-12T21:00:00Z');
const DAY_BEGAN = utc('2026-06-13T04:00:00Z'); // 05:00 in Lisbon
const OPENED = utc('2026-06-13T06:30:00Z');

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let inn: PlaceId;
let stop: Stop;
let lens: ThingId;
let boom: ThingId;

const homeIn = (placeId: PlaceId) => ({ homes: [{ way: 'driving' as const, placeId, number: 1 }] });

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
  inn = addPlace(outfit, 'hotel', 'Inn at the weir');
  stop = makeStop(inn, 'Inn at the weir', { kind: 'hotel' });
  lens = addItem(outfit, 'Long lens', shelf, homeIn(shelf));
  boom = addItem(outfit, 'Boom', drawer);
});

const open = (at = OPENED, of = stop) => openCount(outfit, at, of, truck);
const count = (of = stop) => countOf(outfit, of);
const takeIn = (thingId: ThingId, more = {}) => say(outfit, EVENING, goingIn(thingId, inn, more));
const OPEN = {
  ...{ state: 'open', said: null, by: null, found: 0, absent: 0, expected: 1, missingSince: null },
  wentOut: true,
};

describe('what stood in the hotel as the day began', () => {
  test('is asked for in the compartment where it belongs, and holds the count open', () => {
    takeIn(lens);
    open();
    const line = lineOf(count(), lens);
    expect(gistOf(line)).toEqual(OPEN);
    expect([line.compartmentId, line.roomId]).toEqual([shelf, inn]);
    expect(count().mayClose).toBe(false);
    expect(countSchema.parse(count())).toEqual(count());
  });

  test('with no home aboard it is asked for in the vehicle itself', () => {
    takeIn(boom);
    open();
    expect(lineOf(count(), boom).compartmentId).toBe(truck);
    expect(count().compartments.map(({ name }) => name)).toEqual(['Shelf', 'Drawer', 'Heron 4×4']);
  });

  test('seen, it is back in its compartment; by sight it is named first', () => {
    takeIn(lens);
    open();
    expect(checkLine(count(), lineOf(count(), lens), 'seen')).toMatchObject({ kind: 'move', toId: shelf });
    expect(sightPage(count(), shelf).wentOut.map(({ name }) => name)).toEqual(['Long lens']);
    sayAll(outfit, OPENED + MINUTE, answerBySight(count(), shelf));
    expect(gistOf(lineOf(count(), lens))).toMatchObject({ state: 'aboard', said: 'by-sight' });
    expect(standingOf(bookOf(outfit)).positions.get(lens)?.placeId).toBe(shelf);
  });

  test('put into the van before anybody opened the count, it is asked for like everything else, and once', () => {
    takeIn(lens);
    say(outfit, DAY_BEGAN + MINUTE, moveOf(lens, shelf));
    open();
    expect(count().lines.filter(({ thingId }) => thingId === lens)).toHaveLength(1);
    expect(gistOf(lineOf(count(), lens))).toEqual(OPEN);
    say(outfit, OPENED + 1, moveOf(lens, shelf));
    expect(gistOf(lineOf(count(), lens))).toMatchObject({ state: 'aboard', said: 'scanned' });
  });

  test('a "not opened" compartment does not answer for it', () => {
    takeIn(lens);
    open();
    const context = { stopId: stop.id, round: 1, note: null };
    say(outfit, OPENED + 1, { kind: 'answer', ...context, toId: shelf, check: 'not-opened' });
    expect(lineOf(count(), lens).state).toBe('open');
  });

  test('closed, the count still names it, whatever comes later', () => {
    takeIn(lens);
    open();
    sayAll(outfit, OPENED + MINUTE, answerBySight(count(), shelf));
    say(outfit, OPENED + 2 * MINUTE, closingOf(count()));
    say(outfit, OPENED + 9 * 60 * MINUTE, goingIn(lens, addPlace(outfit, 'location', 'Causeway')));
    expect(gistOf(lineOf(count(), lens))).toMatchObject({ state: 'aboard' });
  });
});

describe('what the count of a hotel does not ask for', () => {
  const names = () =>
    count()
      .lines.map(({ name }) => name)
      .sort();

  test.each(['left-on-purpose', 'with-somebody', 'lend', 'hand-over'] satisfies Reason[])(
    'what was put there for good (%s)',
    (why) => {
      takeIn(lens, { why, check: null });
      open();
      expect(names()).toEqual(['Boom']);
    },
  );

  test('what belongs in another vehicle, though that stands at the same hotel', () => {
    const boat = addVehicle(outfit, 'Coot');
    const locker = addPlace(outfit, 'compartment', 'Locker', { parentId: boat });
    takeIn(addItem(outfit, 'Bilge pump', locker, homeIn(locker)));
    const boatThing = [...outfit.things.values()].find(({ name }) => name === 'Coot');
    if (boatThing === undefined) throw new Error('the boat is a thing');
    takeIn(boatThing.id);
    addItem(outfit, 'Paddle', locker);
    open();
    expect(names()).toEqual(['Boom', 'Long lens']);
  });

  test('what stands at another hotel, or at a stop that is no hotel', () => {
    const other = addPlace(outfit, 'hotel', 'Ferry House');
    const hide = makeStop(addPlace(outfit, 'location', 'Reedbed hide'), 'Reedbed hide');
    say(outfit, EVENING, goingIn(lens, other));
    say(outfit, EVENING, goingIn(boom, hide.placeId));
    open();
    open(OPENED, hide);
    expect(names()).toEqual([]);
    expect(count(hide).lines).toEqual([]);
  });

  test('what was carried to the store before the count was opened', () => {
    takeIn(lens);
    say(outfit, DAY_BEGAN + MINUTE, moveOf(lens, addPlace(outfit, 'store', 'Boathouse'), { why: 'tidy' }));
    open();
    expect(names()).toEqual(['Boom']);
  });

  test('the evening count of the same hotel asks for what was aboard that morning, and for nothing twice', () => {
    takeIn(lens);
    open(EVENING + MINUTE);
    expect(count().lines.map(({ name, roomId }) => [name, roomId])).toEqual([
      ['Boom', null],
      ['Long lens', null],
    ]);
  });
});

describe('cases and numbers in the room', () => {
  test('a case and what is in it are asked for where the case belongs, and the seal may answer', () => {
    const box = addContainer(outfit, 'Case', shelf, homeIn(shelf));
    const card = addItem(outfit, 'Card', box.insideId, homeIn(drawer));
    takeIn(box.thingId);
    const seal = { kind: 'seal' as const, stopId: null, round: null, note: null, tie: null };
    say(outfit, EVENING - MINUTE, { ...seal, thingId: box.thingId, contents: [card] });
    open();
    for (const thingId of [box.thingId, card]) {
      expect(gistOf(lineOf(count(), thingId))).toEqual(OPEN);
      expect(lineOf(count(), thingId)).toMatchObject({ compartmentId: shelf, roomId: inn });
    }
    expect(checkLine(count(), lineOf(count(), card), 'seen')).toMatchObject({ toId: box.insideId });
    say(outfit, OPENED + 1, moveOf(box.thingId, shelf, { sealUnbroken: true }));
    expect(gistOf(lineOf(count(), card))).toMatchObject({ state: 'aboard', said: 'with-container' });
  });

  test('counted gear is asked for with what stayed aboard, and brought back from the room', () => {
    const clamps = addNumbers(outfit, 'counted', 'Clamps', [[drawer, 6]], homeIn(drawer));
    say(outfit, EVENING, numberOf(clamps, 4, drawer, inn));
    open();
    const line = lineOf(count(), clamps);
    expect(line).toMatchObject({ placeId: drawer, expected: 6, here: 2, wentOut: true, roomId: inn });
    expect(line.outThere).toEqual([{ placeId: inn, number: 4 }]);
    sayAll(outfit, OPENED + MINUTE, answerHere(count(), line, 'by-number'));
    expect(lineOf(count(), clamps)).toMatchObject({ state: 'aboard', found: 6, outThere: [] });
    expect(standingOf(bookOf(outfit)).levels.get(clamps)).toEqual(new Map([[drawer, 6]]));
  });

  test('counted gear that is back before the count is opened is asked for once', () => {
    const clamps = addNumbers(outfit, 'counted', 'Clamps', [[drawer, 4]], homeIn(drawer));
    say(outfit, EVENING, numberOf(clamps, 4, drawer, inn));
    say(outfit, DAY_BEGAN + MINUTE, numberOf(clamps, 4, inn, drawer, { why: 'wrap' }));
    open();
    expect(count().lines.filter(({ thingId }) => thingId === clamps)).toHaveLength(1);
    expect(lineOf(count(), clamps)).toMatchObject({ expected: 4, here: 4, outThere: [] });
  });

  test('numbers in a case in the room are asked for in the case, also when it is back before the opening', () => {
    const box = addContainer(outfit, 'Case', shelf, homeIn(shelf));
    const cells = addNumbers(outfit, 'counted', 'Cells', [[box.insideId, 8]]);
    takeIn(box.thingId);
    say(outfit, DAY_BEGAN + MINUTE, moveOf(box.thingId, shelf));
    open();
    expect(count().lines.filter(({ thingId }) => thingId === cells)).toHaveLength(1);
    expect(lineOf(count(), cells)).toMatchObject({
      ...{ placeId: box.insideId, compartmentId: shelf, expected: 8, here: 8, outThere: [] },
    });
  });
});
