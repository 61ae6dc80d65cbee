// Figures of places added up outwards: examples, and what must hold for any tree.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type PlaceId, placeIdSchema } from '#domain/ids.ts';
import { addMoney, type Figures, NO_FIGURES, sumOutwards } from '#domain/where.ts';

const place = (n: number): PlaceId =>
  placeIdSchema.parse(`00000000-0000-4000-8000-${String(n).padStart(12, '0')}`);
const [SLUICE, BITTERN, DRAWER, POUCH] = [place(1), place(2), place(3), place(4)];
const eur = (minor: number) => ({ currency: 'EUR', minor });

test('a lamp in the drawer of a vehicle at the sluice counts in the drawer, the vehicle and at the sluice', () => {
  const places = [
    { id: SLUICE, insideId: null },
    { id: BITTERN, insideId: SLUICE },
    { id: DRAWER, insideId: BITTERN },
    { id: POUCH, insideId: DRAWER },
  ];
  const own = new Map<PlaceId, Figures>([
    [DRAWER, { ...NO_FIGURES, things: 2, worth: [eur(900)], faulty: 1 }],
    [SLUICE, { ...NO_FIGURES, things: 1, worth: [{ currency: 'USD', minor: 5 }], notFound: 1 }],
  ]);
  const sums = sumOutwards(places, own);
  expect(sums.get(POUCH)).toBeUndefined();
  expect(sums.get(BITTERN)).toEqual({ ...NO_FIGURES, things: 2, worth: [eur(900)], faulty: 1 });
  expect(sums.get(SLUICE)).toEqual({
    ...{ ...NO_FIGURES, things: 3, faulty: 1, notFound: 1 },
    worth: [eur(900), { currency: 'USD', minor: 5 }],
  });
});

test('an estimate never becomes a part of the value', () => {
  const own = new Map([[DRAWER, { ...NO_FIGURES, worth: [eur(100)], estimate: [eur(35)] }]]);
  const sums = sumOutwards(
    [
      { id: DRAWER, insideId: BITTERN },
      { id: BITTERN, insideId: null },
    ],
    own,
  );
  expect(sums.get(BITTERN)).toMatchObject({ worth: [eur(100)], estimate: [eur(35)] });
});

test('places that a fault has put into each other all hold the same, and the sum comes to an end', () => {
  const ring = [
    { id: DRAWER, insideId: POUCH },
    { id: POUCH, insideId: DRAWER },
  ];
  const sums = sumOutwards(ring, new Map([[DRAWER, { ...NO_FIGURES, things: 3 }]]));
  expect([sums.get(DRAWER)?.things, sums.get(POUCH)?.things]).toEqual([3, 3]);
});

/** A forest: each place is inside of an earlier one or of none. */
const forest = fc
  .array(fc.record({ outer: fc.nat(), isRoot: fc.boolean(), things: fc.nat(9) }), {
    minLength: 1,
    maxLength: 30,
  })
  .map((rows) =>
    rows.map(({ outer, isRoot, things }, n) => ({
      id: place(n),
      insideId: isRoot || n === 0 ? null : place(outer % n),
      things,
    })),
  );

test('the roots together hold everything once, and a place holds its own and what its inner places hold', () => {
  fc.assert(
    fc.property(forest, (places) => {
      const own = new Map(places.map(({ id, things }) => [id, { ...NO_FIGURES, things }]));
      const sums = sumOutwards(places, own);
      const held = (id: PlaceId) => sums.get(id)?.things ?? 0;
      const total = (some: typeof places) => some.reduce((sum, { id }) => sum + held(id), 0);
      expect(total(places.filter(({ insideId }) => insideId === null))).toBe(
        places.reduce((sum, { things }) => sum + things, 0),
      );
      for (const { id, things } of places)
        expect(held(id)).toBe(things + total(places.filter(({ insideId }) => insideId === id)));
    }),
  );
});

test('money is added by currency, in whichever order it comes', () => {
  expect(addMoney([{ currency: 'USD', minor: 1 }, eur(2)], [eur(3)])).toEqual([
    eur(5),
    { currency: 'USD', minor: 1 },
  ]);
  expect(addMoney([], [])).toEqual([]);
});
