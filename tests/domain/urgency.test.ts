// In what order things are named that are open, missing or out.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { compareRanked, compareText, type Ranked, urgencyOf } from '#domain/urgency.ts';
import { addClass, makeOutfit } from './count-making.ts';

const outfit = makeOutfit();
const essential = outfit.classes.get(addClass(outfit, 'camera body', { essential: true }));
const plain = outfit.classes.get(addClass(outfit, 'bag'));

test('rushes and what is not ours cannot be replaced, whatever the class', () => {
  const urgencies = (['rented-in', 'borrowed', 'client'] as const).map((whose) =>
    urgencyOf({ holdsRushes: false, whose }, essential),
  );
  expect(urgencies).toEqual(['cannot-be-replaced', 'cannot-be-replaced', 'cannot-be-replaced']);
  expect(urgencyOf({ holdsRushes: true, whose: 'ours' }, plain)).toBe('cannot-be-replaced');
});

test('an essential class stops the shoot; any other, or none, goes by value', () => {
  const ours = { holdsRushes: false, whose: 'ours' as const };
  expect([essential, plain, undefined].map((kin) => urgencyOf(ours, kin))).toEqual([
    'stops-the-shoot',
    'by-value',
    'by-value',
  ]);
});

const FIRST: Ranked = {
  missingBefore: true,
  urgency: 'cannot-be-replaced',
  forgotten: 3,
  valueRank: 9,
  name: 'A',
  thingId: '1',
  placeId: null,
};

test.each([
  [{ missingBefore: false }],
  [{ urgency: 'stops-the-shoot' as const }],
  [{ urgency: 'by-value' as const }],
  [{ forgotten: 2 }],
  [{ valueRank: 8 }],
  [{ name: 'B' }],
  [{ thingId: '2' }],
  [{ placeId: '1' }],
])('each rule alone decides: %o comes later', (more) => {
  expect(compareRanked(FIRST, { ...FIRST, ...more })).toBeLessThan(0);
  expect(compareRanked({ ...FIRST, ...more }, FIRST)).toBeGreaterThan(0);
});

test('an earlier rule outranks all later ones', () => {
  const last = {
    urgency: 'by-value' as const,
    forgotten: 0,
    valueRank: 0,
    name: 'Z',
    thingId: '9',
    placeId: '9',
  };
  expect(compareRanked({ ...last, missingBefore: true }, { ...FIRST, missingBefore: false })).toBeLessThan(0);
  expect(
    compareRanked({ ...FIRST, ...last, urgency: 'stops-the-shoot' }, { ...FIRST, urgency: 'by-value' }),
  ).toBeLessThan(0);
  expect(compareRanked({ ...FIRST, valueRank: 0, name: 'Z' }, { ...FIRST, forgotten: 2 })).toBeLessThan(0);
});

test('names are compared by code unit, so that no device’s language changes the order', () => {
  expect(['b', 'Ä', 'a', 'B', 'ä'].sort(compareText)).toEqual(['B', 'a', 'b', 'Ä', 'ä']);
});

test('it is a total order: it agrees with itself turned round and through a third', () => {
  const ranked = fc.record({
    missingBefore: fc.boolean(),
    urgency: fc.constantFrom('cannot-be-replaced' as const, 'stops-the-shoot' as const, 'by-value' as const),
    forgotten: fc.integer({ min: 0, max: 3 }),
    valueRank: fc.integer({ min: 0, max: 3 }),
    name: fc.constantFrom('a', 'b'),
    thingId: fc.constantFrom('1', '2'),
    placeId: fc.constantFrom(null, '1'),
  });
  fc.assert(
    fc.property(ranked, ranked, ranked, (a, b, c) => {
      expect(Math.sign(compareRanked(a, b)) + Math.sign(compareRanked(b, a))).toBe(0);
      if (compareRanked(a, b) <= 0 && compareRanked(b, c) <= 0)
        expect(compareRanked(a, c)).toBeLessThanOrEqual(0);
      if (compareRanked(a, b) === 0) expect(a).toEqual(b);
    }),
  );
});
