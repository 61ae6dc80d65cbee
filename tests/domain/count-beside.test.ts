// In what order a count names its lines, and what it shows beside them, each as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import { checkLine, closingOf, findAbsent } from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addClass,
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  countOf,
  goingIn,
  lineOf,
  moveOf,
  type Outfit,
  openCount,
  say,
} from './count-making.ts';
import { LATER, makeScene, OPENED } from './count-scene.ts';

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let stop: Stop;
let lens: ThingId;
let boom: ThingId;

beforeEach(() => {
  ({ outfit, truck, shelf, drawer, hide, stop, lens, boom } = makeScene());
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);

describe('in what order lines are named', () => {
  test('open before absent before answered; not replaceable, then what stops the shoot, then value', () => {
    const essential = addClass(outfit, 'camera body', { essential: true });
    const forgotten = addClass(outfit, 'receiver', { forgotten: 3 });
    const rest = [
      addItem(outfit, 'Card with rushes', shelf, { holdsRushes: true }),
      addItem(outfit, 'Body', shelf, { classId: essential, valueRank: 1 }),
      addItem(outfit, 'Receiver', shelf, { classId: forgotten }),
      addItem(outfit, 'Dear lens', shelf, { valueRank: 9 }),
    ];
    const count = open();
    say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found'));
    say(outfit, LATER, moveOf(boom, drawer));
    expect(countOf(outfit, stop).lines.map((line) => line.thingId)).toEqual([...rest, lens, boom]);
    const { urgency, forgotten: most, check } = lineOf(count, rest[2] ?? lens);
    expect({ urgency, most, check }).toEqual({ urgency: 'by-value', most: 3, check: 'seen' });
  });

  test('a mark made on a phone counts before the catalogue knows it, and until it is cleared', () => {
    open();
    const context = { stopId: null, round: null, thingId: boom };
    say(outfit, LATER, { kind: 'mark', ...context, note: null, mark: 'holds-rushes', on: true });
    say(outfit, LATER, { kind: 'mark', ...context, note: 'crackles', mark: 'faulty', on: true });
    expect(countOf(outfit, stop).lines.map(({ name, urgency, faulty }) => [name, urgency, faulty])).toEqual([
      ['Boom', 'cannot-be-replaced', 'crackles'],
      ['Long lens', 'by-value', null],
    ]);
    say(outfit, LATER + 1, { kind: 'mark', ...context, note: null, mark: 'holds-rushes', on: false });
    say(outfit, LATER + 1, { kind: 'mark', ...context, note: null, mark: 'faulty', on: false });
    expect(lineOf(countOf(outfit, stop), boom)).toMatchObject({ urgency: 'by-value', faulty: null });
  });
});

describe('beside the lines, and never holding the count open', () => {
  test('extras: unknown codes and what was not expected aboard, each once, until the closing', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const spare = addItem(outfit, 'Spare tripod', store, { whose: 'rented-in' });
    open();
    say(outfit, LATER, moveOf(null, truck, { code: 'X-1' }));
    const again = say(outfit, LATER + 1, moveOf(null, truck, { code: 'X-1', note: 'blue tape' }));
    const scan = say(outfit, LATER + 2, moveOf(spare, shelf));
    say(outfit, LATER + 2, moveOf(lens, shelf));
    say(outfit, LATER + 2, moveOf(addItem(outfit, 'Only tapped', store), shelf, { check: 'seen' }));
    say(outfit, LATER + 2, goingIn(addItem(outfit, 'Only out', store), hide));
    const expected = [
      {
        lineId: again.id,
        at: LATER + 1,
        thingId: null,
        name: null,
        code: 'X-1',
        whose: null,
        note: 'blue tape',
      },
      {
        lineId: scan.id,
        at: LATER + 2,
        thingId: spare,
        name: 'Spare tripod',
        code: null,
        whose: 'rented-in',
        note: null,
      },
    ];
    expect(countOf(outfit, stop).extras).toEqual(expected);
    say(outfit, LATER + 3, closingOf(countOf(outfit, stop)));
    say(outfit, LATER + 4, moveOf(null, truck, { code: 'X-2' }));
    expect(countOf(outfit, stop).extras).toEqual(expected);
  });

  test('tidy: aboard and answered for, with a driving home, and neither in it nor in something in it', () => {
    const home = (placeId: PlaceId) => [{ way: 'driving' as const, placeId, number: 1 }];
    const pouch = addContainer(outfit, 'Pouch', drawer);
    const strayed = addItem(outfit, 'Filter', shelf, { homes: home(drawer) });
    const inside = addItem(outfit, 'Cap', pouch.insideId, { homes: home(drawer) });
    const unasked = addItem(outfit, 'Grip', shelf, { homes: home(drawer) });
    const count = open();
    say(outfit, LATER, checkLine(count, lineOf(count, strayed), 'seen'));
    say(outfit, LATER, checkLine(count, lineOf(count, inside), 'seen'));
    expect(lineOf(count, unasked).state).toBe('open');
    expect(countOf(outfit, stop).misplaced).toEqual([
      { thingId: strayed, name: 'Filter', placeId: shelf, homePlaceId: drawer },
    ]);
  });

  test('refill: consumables of this vehicle below par, by the sum of what is aboard; they are never lines', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const homes = [{ way: 'driving' as const, placeId: drawer, number: 1 }];
    const low = addNumbers(
      outfit,
      'consumable',
      'Cloth tape',
      [
        [shelf, 1],
        [drawer, 2],
        [store, 50],
      ],
      { par: 6, unit: 'roll' },
    );
    addNumbers(outfit, 'consumable', 'Wipes', [[shelf, 9]], { par: 9 });
    addNumbers(outfit, 'consumable', 'Bin bags', [[store, 0]], { par: 9 });
    const none = addNumbers(outfit, 'consumable', 'AA cells', [], { par: 8, homes });
    open();
    expect(countOf(outfit, stop).refill).toEqual([
      { thingId: none, name: 'AA cells', unit: null, number: 0, par: 8 },
      { thingId: low, name: 'Cloth tape', unit: 'roll', number: 3, par: 6 },
    ]);
    expect(countOf(outfit, stop).lines.map((line) => line.name)).toEqual(['Boom', 'Long lens']);
  });
});
