// How compartments are answered for, each rule as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import { answerNotOpened, answerOf, checkLine, findAbsent } from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addContainer,
  addItem,
  addPlace,
  addVehicle,
  countOf,
  gistOf,
  goingIn,
  lineOf,
  makeStop,
  moveOf,
  type Outfit,
  openCount,
  say,
} from './count-making.ts';
import { ABOARD, ABSENT, LATER, LOAD_IN, makeScene, OPEN, OPENED } from './count-scene.ts';

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let lens: ThingId;
let boom: ThingId;

beforeEach(() => {
  ({ outfit, truck, shelf, drawer, hide, friend, stop, lens, boom } = makeScene());
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));

describe('compartments', () => {
  const answers = () =>
    countOf(outfit, stop).compartments.map(({ name, answer, lines, open: waits }) => [
      name,
      answer,
      lines,
      waits,
    ]);
  const flags = () => {
    const { mayClose, allAboard } = countOf(outfit, stop);
    return { mayClose, allAboard };
  };

  test('each waits until its lines are answered, and then has the weakest of their checks', () => {
    const cap = addItem(outfit, 'Lens cap', shelf);
    open();
    expect(answers()).toEqual([
      ['Shelf', null, 2, 2],
      ['Drawer', null, 1, 1],
    ]);
    say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER, moveOf(cap, shelf, { check: 'by-sight' }));
    expect(answers()).toEqual([
      ['Shelf', 'by-sight', 2, 0],
      ['Drawer', null, 1, 1],
    ]);
    expect(flags()).toEqual({ mayClose: false, allAboard: false });
    say(outfit, LATER, moveOf(boom, drawer, { check: 'seen' }));
    expect(flags()).toEqual({ mayClose: true, allAboard: true });
  });

  test('one that held nothing waits for its own answer, and the count is never all aboard before', () => {
    addPlace(outfit, 'compartment', 'Roof box', { parentId: truck });
    const count = open();
    say(outfit, LATER, checkLine(count, lineOf(count, lens), 'scanned'));
    say(outfit, LATER, checkLine(count, lineOf(count, boom), 'scanned'));
    expect(flags()).toEqual({ mayClose: false, allAboard: false });
    const roof = countOf(outfit, stop).compartments.find((known) => known.name === 'Roof box');
    if (roof === undefined) throw new Error('the roof box is a compartment');
    say(outfit, LATER, answerOf(count, roof.placeId, 'by-sight'));
    expect(flags()).toEqual({ mayClose: true, allAboard: true });
  });

  test('its own answer does not answer for lines that nobody has spoken of', () => {
    const count = open();
    say(outfit, LATER, answerOf(count, shelf, 'by-sight'));
    expect(answers()[0]).toEqual(['Shelf', 'by-sight', 1, 1]);
    expect(gist()).toEqual(OPEN);
    expect(flags()).toEqual({ mayClose: false, allAboard: false });
  });

  test('not opened vouches weakest for what stayed in, leaves open what went out, and is never all aboard', () => {
    const cap = addItem(outfit, 'Lens cap', shelf);
    say(outfit, LOAD_IN, goingIn(cap, hide));
    const count = open();
    const line = say(outfit, LATER, answerNotOpened(count, shelf));
    expect(gist()).toEqual({ ...ABOARD, said: 'not-opened', by: line.id });
    expect(gist(cap)).toEqual({ ...OPEN, wentOut: true });
    expect(countOf(outfit, stop).sums).toEqual({
      expected: 3,
      aboard: 1,
      notFound: 0,
      away: 0,
      compartments: 2,
      notOpened: 1,
    });
    say(outfit, LATER, moveOf(cap, shelf));
    say(outfit, LATER, moveOf(boom, drawer));
    expect(flags()).toEqual({ mayClose: true, allAboard: false });
  });

  test('not opened says nothing against what was said of a line, and a later answer takes its place', () => {
    const count = open();
    const finding = say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'did-not-come'));
    say(outfit, LATER + 1, answerNotOpened(count, shelf));
    say(outfit, LATER + 1, answerNotOpened(count, drawer));
    expect(gist()).toEqual({ ...ABSENT, said: 'did-not-come', by: finding.id, missingSince: LATER });
    say(outfit, LATER + 2, answerOf(count, drawer, 'by-sight'));
    expect(gist(boom)).toEqual(OPEN);
  });

  test('an answer of another round, another stop or from before opening is none', () => {
    const count = open();
    const other = makeStop(hide, 'Sluice gate');
    say(outfit, LATER, answerOf({ ...count, round: 2 }, shelf, 'not-opened'));
    say(outfit, LATER, answerOf({ ...count, stopId: other.id }, shelf, 'not-opened'));
    say(outfit, OPENED - 1, answerOf(count, shelf, 'not-opened'));
    expect(answers()[0]).toEqual(['Shelf', null, 1, 1]);
  });

  test('the vehicle itself is one only when something lay in it, and comes last', () => {
    addItem(outfit, 'Ladder', truck);
    open();
    expect(answers().map(([name]) => name)).toEqual(['Shelf', 'Drawer', 'Heron 4×4']);
  });

  test('a compartment of a cart or of another vehicle is none of this vehicle’s', () => {
    const cart = addContainer(outfit, 'Cart', truck);
    addPlace(outfit, 'compartment', 'Cart drawer', { parentId: cart.insideId });
    const boat = addVehicle(outfit, 'Flat boat');
    addPlace(outfit, 'compartment', 'Bow locker', { parentId: boat });
    open();
    expect(answers().map(([name]) => name)).toEqual(['Shelf', 'Drawer', 'Heron 4×4']);
  });

  test('all its lines absent or away is an answer too', () => {
    const count = open();
    say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found'));
    say(outfit, LATER, moveOf(boom, friend, { why: 'lend', check: null }));
    expect(answers()).toEqual([
      ['Shelf', 'seen', 1, 0],
      ['Drawer', 'seen', 1, 0],
    ]);
    expect(flags()).toEqual({ mayClose: true, allAboard: false });
  });
});
