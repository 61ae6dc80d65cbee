// Home order: the way along the drawers.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeIdSchema, thingIdSchema } from '#domain/ids.ts';
import { type Homed, type HomePlace, inHomeOrder } from '#domain/label-order.ts';

const idOf = (no: number) => `0000000${no.toString(16)}`.slice(-8).concat('-0000-4000-8000-000000000000');
const placeId = (no: number) => placeIdSchema.parse(idOf(no));
const thingId = (no: number) => thingIdSchema.parse(idOf(no));

function place(no: number, name: string, facts: Partial<HomePlace> = {}): HomePlace {
  return { id: placeId(no), name, kind: 'compartment', sort: 0, outerId: null, ...facts };
}
const thing = (no: number, name: string, home: number | null): Homed => ({
  id: thingId(no),
  name,
  homeId: home === null ? null : placeId(home),
});

const VAN = place(1, 'Van', { kind: 'vehicle' });
const SHED = place(2, 'Shed', { kind: 'store' });
const LEFT = place(3, 'Left side', { outerId: VAN.id, sort: 1 });
const RIGHT = place(4, 'Right side', { outerId: VAN.id, sort: 2 });
const CASE = place(5, 'Lens case', { kind: 'container', outerId: RIGHT.id });
const PLACES = [SHED, CASE, RIGHT, LEFT, VAN];

const namesOf = (records: readonly Homed[], places = PLACES) =>
  inHomeOrder(records, places).map(({ homed }) => homed.name);

describe('home order', () => {
  it('walks the vehicle before the store, compartment by compartment, into each container', () => {
    const records = [
      thing(20, 'Spare bulb', null),
      thing(21, 'Charger', 2),
      thing(22, 'Long lens', 5),
      thing(5, 'Lens case', 4),
      thing(23, 'Zip ties', 4),
      thing(24, 'Anchor', 4),
      thing(25, 'Waders', 3),
      { id: LEFT.id, name: LEFT.name, homeId: null },
      { id: RIGHT.id, name: RIGHT.name, homeId: null },
    ];
    expect(namesOf(records)).toEqual([
      'Left side',
      'Waders',
      'Right side',
      'Anchor',
      'Zip ties',
      'Lens case',
      'Long lens',
      'Charger',
      'Spare bulb',
    ]);
  });

  it('says where each lives, the outermost first', () => {
    const [only] = inHomeOrder([thing(22, 'Long lens', 5)], PLACES);
    expect(only?.path).toEqual([VAN.id, RIGHT.id, CASE.id]);
  });

  it('comes to an end where two containers are said to be in each other', () => {
    const ring = [place(6, 'Box', { outerId: placeId(7) }), place(7, 'Bag', { outerId: placeId(6) })];
    expect(namesOf([thing(30, 'Cloth', 6), thing(31, 'Brush', 7)], ring)).toHaveLength(2);
  });

  it('is the same whatever order they come in, and loses nobody', () => {
    const some = fc.uniqueArray(
      fc.record({ no: fc.integer({ min: 20, max: 60 }), home: fc.constantFrom(null, 1, 2, 3, 4, 5, 99) }),
      { selector: ({ no }) => no },
    );
    fc.assert(
      fc.property(some, (made) => {
        const records = made.map(({ no, home }) => thing(no, `Thing ${no % 7}`, home));
        const sorted = inHomeOrder(records, PLACES).map(({ homed }) => homed);
        expect(sorted).toHaveLength(records.length);
        expect(inHomeOrder([...records].reverse(), [...PLACES].reverse()).map(({ homed }) => homed)).toEqual(
          sorted,
        );
      }),
    );
  });
});
