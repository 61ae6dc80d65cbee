// When a count exists, and what it asks for, each as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import { computeCount } from '#domain/count.ts';
import { closingOf, openOf } from '#domain/count-answers.ts';
import { countSchema } from '#domain/count-shape.ts';
import { countIdOf, type PlaceId, type ThingId } from '#domain/ids.ts';
import type { Reason } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import {
  addItem,
  addPlace,
  addVehicle,
  countOf,
  factsOf,
  gistOf,
  goingIn,
  lineOf,
  MINUTE,
  makeStop,
  moveOf,
  type Outfit,
  openCount,
  PERSON,
  say,
  takeBack,
  utc,
} from './count-making.ts';
import { DAY_BEGAN, LATER, LOAD_IN, makeScene, OPEN, OPENED } from './count-scene.ts';

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let lens: ThingId;
let boom: ThingId;

beforeEach(() => {
  ({ outfit, truck, shelf, hide, friend, stop, lens, boom } = makeScene());
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));

describe('a count exists once somebody has opened it', () => {
  test('nobody opened it, or another round of the stop was opened, or the opening was taken back', () => {
    expect(computeCount(factsOf(outfit, stop))).toBeNull();
    const opening = say(outfit, OPENED, openOf(stop.id, 2, truck));
    expect(computeCount(factsOf(outfit, stop))).toBeNull();
    expect(computeCount(factsOf(outfit, stop, 2))?.round).toBe(2);
    takeBack(outfit, LATER, opening);
    expect(computeCount(factsOf(outfit, stop, 2))).toBeNull();
  });

  test('the earliest opening counts, whatever the order of arrival and whatever the vehicle of the later one', () => {
    const boat = addVehicle(outfit, 'Flat boat');
    say(outfit, LATER, openOf(stop.id, 1, boat));
    say(outfit, OPENED, openOf(stop.id, 1, truck));
    const { id, openedAt, dayBeganAt, vehicleId, vehicleName, stopName, round } = countOf(outfit, stop);
    expect({ id, openedAt, dayBeganAt, vehicleId, vehicleName, stopName, round }).toEqual({
      id: countIdOf(stop.id, 1),
      openedAt: OPENED,
      dayBeganAt: DAY_BEGAN,
      vehicleId: truck,
      vehicleName: 'Heron 4×4',
      stopName: 'Reedbed hide',
      round: 1,
    });
  });

  test('it has the shape of the contract', () => {
    open();
    say(outfit, LATER, closingOf(countOf(outfit, stop)));
    expect(countSchema.parse(countOf(outfit, stop))).toEqual(countOf(outfit, stop));
  });

  test('a zone this device does not know gives way to the zone of the outfit', () => {
    const odd = makeStop(hide, 'Beyond the map', { zone: 'Wetland/Reedbed' });
    expect(open(OPENED, odd).dayBeganAt).toBe(DAY_BEGAN);
  });
});

describe('expected is what was aboard by the ledger when the working day began or came aboard before opening', () => {
  const names = () => countOf(outfit, stop).lines.map((line) => line.name);

  test('not what has its home there, not what left before the day, and not what came after the opening', () => {
    const homes = [{ way: 'driving' as const, placeId: shelf, number: 1 }];
    const store = addPlace(outfit, 'store', 'Boathouse');
    addItem(outfit, 'Second tripod', store, { homes });
    const came = addItem(outfit, 'Monitor', store);
    say(outfit, DAY_BEGAN - 1, moveOf(came, shelf));
    say(outfit, DAY_BEGAN - 1, moveOf(boom, store));
    const late = addItem(outfit, 'Slider', store);
    say(outfit, OPENED, moveOf(late, shelf));
    open();
    expect(names()).toEqual(['Long lens', 'Monitor']);
  });

  test('not the vehicle itself, what was written off, another entry of the same thing, or what only the ledger knows', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const vehicleThing = [...outfit.things.values()].find((thing) => thing.name === 'Heron 4×4');
    if (vehicleThing === undefined) throw new Error('the vehicle is a thing');
    say(outfit, DAY_BEGAN - MINUTE, moveOf(vehicleThing.id, store));
    addItem(outfit, 'Drowned microphone', shelf, { writtenOff: true });
    addItem(outfit, 'Boom (twice)', shelf, { mergedIntoId: boom });
    outfit.things.delete(addItem(outfit, 'Not in the catalogue', shelf));
    open();
    expect(names()).toEqual(['Boom', 'Long lens']);
  });

  test('at twenty past midnight it is what was aboard the morning before', () => {
    say(outfit, utc('2026-06-12T22:00:00Z'), goingIn(lens, hide));
    expect(open(utc('2026-06-12T23:20:00Z')).lines.map((line) => line.name)).toEqual(['Boom', 'Long lens']);
  });

  test('what stood out overnight is not asked for', () => {
    say(outfit, DAY_BEGAN - MINUTE, goingIn(lens, hide));
    open();
    expect(names()).toEqual(['Boom']);
  });

  test.each([
    'left-on-purpose',
    'with-somebody',
    'lend',
    'hand-over',
    'rent-out',
    'consumed',
  ] satisfies Reason[])(
    'what a line put away before opening (%s) is not asked for, until it is brought back',
    (why) => {
      say(outfit, LOAD_IN, moveOf(lens, friend, { why, check: null }));
      open();
      expect(names()).toEqual(['Boom']);
      say(outfit, OPENED - 1, moveOf(lens, shelf, { check: null }));
      expect(gist()).toEqual(OPEN);
    },
  );

  test('what was brought to the store or to a party for any reason before opening is not asked for', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const rack = addPlace(outfit, 'compartment', 'Rack', { parentId: store });
    say(outfit, LOAD_IN, moveOf(lens, rack, { why: 'tidy', check: null }));
    say(outfit, LOAD_IN, moveOf(boom, friend, { why: 'tidy', check: null }));
    open();
    expect(names()).toEqual([]);
  });

  test('a voided line put nothing away', () => {
    const lent = say(outfit, LOAD_IN, moveOf(lens, friend, { why: 'lend' }));
    takeBack(outfit, LATER, lent);
    open();
    expect(gist()).toEqual(OPEN);
  });

  test('what was put away after opening stays a line, said by that movement', () => {
    open();
    const lent = say(outfit, LATER, moveOf(lens, friend, { why: 'lend', check: null, note: 'till Monday' }));
    expect(gist()).toEqual({ ...OPEN, state: 'away', said: 'lend', by: lent.id });
    expect(lineOf(countOf(outfit, stop), lens).said).toEqual({
      said: 'lend',
      lineId: lent.id,
      at: LATER,
      personId: PERSON,
      deviceId: lent.deviceId,
      note: 'till Monday',
    });
  });
});
