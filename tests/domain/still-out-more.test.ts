// What the desk adds to the still-out-there list: overdue things, sums, ages, and the words of a message.
import { describe, expect, test } from 'vitest';
import { askingText, SAID_MAX } from '#domain/asking.ts';
import { ageOf, sumOut } from '#domain/out-line.ts';
import { overdueThings } from '#domain/overdue.ts';
import { stillOut } from '#domain/still-out.ts';
import {
  addItem,
  addNumbers,
  addPlace,
  bookOf,
  makeOutfit,
  moveOf,
  numberOf,
  say,
  utc,
} from './count-making.ts';

const AT = utc('2026-06-12T17:00:00Z');
const due = (outfit: ReturnType<typeof makeOutfit>, today: string) =>
  overdueThings(outfit.things.values(), bookOf(outfit), today).map(({ thing, number, days, placeId }) => ({
    name: thing.name,
    number,
    days,
    placeId,
  }));

describe('overdue', () => {
  test('from the day after its last day, the longest first; not when ours, written off or without a date', () => {
    const outfit = makeOutfit();
    const shelf = addPlace(outfit, 'compartment', 'Shelf');
    addItem(outfit, 'Lens', shelf, { whose: 'rented-in', whoseUntil: '2026-06-10' });
    addItem(outfit, 'Monitor', shelf, { whose: 'borrowed', whoseUntil: '2026-06-01' });
    addItem(outfit, 'Slider', null, { whose: 'client', whoseUntil: '2026-06-11' });
    addItem(outfit, 'Ours', shelf, { whose: 'ours', whoseUntil: '2026-06-01' });
    addItem(outfit, 'No date', shelf, { whose: 'borrowed' });
    addItem(outfit, 'Gone', shelf, { whose: 'borrowed', whoseUntil: '2026-06-01', writtenOff: true });
    expect(due(outfit, '2026-06-11')).toEqual([
      { name: 'Monitor', number: 1, days: 10, placeId: shelf },
      { name: 'Lens', number: 1, days: 1, placeId: shelf },
    ]);
    expect(due(outfit, '2026-06-12').map(({ name }) => name)).toEqual(['Monitor', 'Lens', 'Slider']);
    expect(due(outfit, '2026-06-01')).toEqual([]);
  });

  test('what is back with its owner is neither overdue nor out, item by item and piece by piece', () => {
    const outfit = makeOutfit();
    const shelf = addPlace(outfit, 'compartment', 'Shelf');
    const owner = addPlace(outfit, 'party', 'Tern Rental');
    const rented = { whose: 'rented-in' as const, whoseUntil: '2026-06-01', ownerPlaceId: owner };
    const lens = addItem(outfit, 'Lens', shelf, rented);
    const plates = addNumbers(outfit, 'counted', 'Plates', [[shelf, 5]], rented);
    say(outfit, AT, moveOf(lens, owner, { why: 'hand-over', check: null }));
    say(outfit, AT, numberOf(plates, 3, shelf, owner, { why: 'hand-over' }));
    expect(due(outfit, '2026-06-11')).toEqual([{ name: 'Plates', number: 2, days: 10, placeId: shelf }]);
    expect(stillOut({ book: bookOf(outfit), ...outfit, now: AT })).toEqual([]);
    say(outfit, AT + 1, numberOf(plates, 2, shelf, owner, { why: 'hand-over' }));
    expect(due(outfit, '2026-06-11')).toEqual([]);
  });
});

test('sums keep currencies apart and say of how many lines nothing is known', () => {
  const of = (minor: number, currency: string) => ({ value: { minor, currency } });
  expect(sumOut([of(100, 'NOK'), of(250, 'EUR'), { value: null }, of(50, 'EUR')])).toEqual({
    lines: 4,
    sums: [
      { minor: 300, currency: 'EUR' },
      { minor: 100, currency: 'NOK' },
    ],
    unknown: 1,
  });
  expect(sumOut([])).toEqual({ lines: 0, sums: [], unknown: 0 });
});

test('an age is under a day, up to a week, up to 30 days, longer, or not known', () => {
  expect([0, 1, 7, 8, 30, 31, null].map(ageOf)).toEqual([
    'under-a-day',
    'week',
    'week',
    'month',
    'month',
    'longer',
    'not-known',
  ]);
});

describe('the message', () => {
  const charger = {
    name: 'Twin charger',
    number: 1,
    facts: ['Sedge', 'SP-771'],
    where: 'wall socket',
    when: null,
  };

  test('says what, where last put down and when, and who asks', () => {
    const clamps = { name: 'Clamp', number: 3, facts: [], where: null, when: null };
    expect(askingText([{ ...charger, when: '12 Jun' }], 'Two in the reeds')).toBe(
      'We are looking for this:\n- Twin charger (Sedge, SP-771): last put down wall socket, 12 Jun\n' +
        'Do you have it, or know where to look?\nTwo in the reeds',
    );
    expect(askingText([charger, clamps], 'Two in the reeds')).toBe(
      'We are looking for these:\n- Twin charger (Sedge, SP-771): last put down wall socket\n- 3 × Clamp\n' +
        'Do you have any of them, or know where to look?\nTwo in the reeds',
    );
  });

  test('of very many things it is cut between two of them and says how many more there are', () => {
    const text = askingText(Array(500).fill(charger), 'Two in the reeds');
    expect(text.length).toBeLessThanOrEqual(SAID_MAX);
    const shown = text.split('\n').filter((line) => line.startsWith('- Twin')).length;
    expect(text).toContain(`- and ${500 - shown} more`);
  });
});
