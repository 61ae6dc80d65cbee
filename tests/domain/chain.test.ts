import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chainOf, loopsIn, wouldLoop } from '#domain/chain.ts';
import type { PlaceId } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import {
  anyArrival,
  anyMovesOfContainers,
  anyPlace,
  atlasPlaces,
  bookOf,
  fixedPlace,
  MOVING,
  makeLine,
  makeVoid,
  place,
  thing,
  WORLD,
} from './making.ts';
import { modelOutwards } from './model.ts';

const atlasOf = (lines: readonly Recorded[]) => ({
  places: WORLD,
  history: standingOf(bookOf(lines)).history,
});
const put = (name: string, into: string, at: number) =>
  makeLine('move', { at, thingId: thing(name), toId: place(into) });
const chain = (name: string, lines: readonly Recorded[]) => chainOf(place(name), atlasOf(lines));

describe('law 7: what is inside moves along', () => {
  test('a pouch in a case on a shelf of the truck in the yard', () => {
    const lines = [put('pouch', 'case', 1), put('case', 'shelf', 2), put('truck', 'yard', 3)];
    expect(chain('pouch', lines)).toEqual(['pouch', 'case', 'shelf', 'truck', 'yard'].map(place));
  });

  test('the truck drives on and nothing is written for what is inside', () => {
    const lines = [put('case', 'shelf', 2), put('truck', 'yard', 3), put('truck', 'hut', 4)];
    expect(chain('case', lines)).toEqual(['case', 'shelf', 'truck', 'hut'].map(place));
  });

  test('a container that was never put anywhere is in nothing', () => {
    expect(chain('case', [])).toEqual([place('case')]);
  });

  test('a place that is not known ends the chain', () => {
    expect(chain('case', [put('case', 'attic', 1)])).toEqual([place('case'), place('attic')]);
    expect(chain('attic', [])).toEqual([place('attic')]);
  });
});

describe('law 7: loops', () => {
  const caseIntoCart = put('case', 'cart', 2);
  const cartIntoCase = put('cart', 'case', 3);
  const cartInYard = put('cart', 'yard', 1);

  test('the line that closed the loop is passed over: its cart counts as where it was before', () => {
    const lines = [caseIntoCart, cartIntoCase, cartInYard];
    expect(chain('case', lines)).toEqual(['case', 'cart', 'yard'].map(place));
    expect(chain('cart', lines)).toEqual(['cart', 'yard'].map(place));
    expect(loopsIn(atlasOf(lines))).toMatchObject([
      { containerId: thing('cart'), passedOver: { movementId: cartIntoCase.id }, countsAt: place('yard') },
    ]);
  });

  test('with no line before, the container is nowhere', () => {
    const lines = [caseIntoCart, cartIntoCase];
    expect(chain('case', lines)).toEqual(['case', 'cart'].map(place));
    expect(loopsIn(atlasOf(lines))).toMatchObject([{ containerId: thing('cart'), countsAt: null }]);
  });

  test('a container put into itself stays where it was', () => {
    const lines = [cartInYard, put('cart', 'cart', 5)];
    expect(chain('cart', lines)).toEqual(['cart', 'yard'].map(place));
  });

  test('a truck put onto its own shelf stays where it was', () => {
    const lines = [put('truck', 'hut', 1), put('truck', 'shelf', 2)];
    expect(chain('shelf', lines)).toEqual(['shelf', 'truck', 'hut'].map(place));
  });

  test('a container may be passed over twice, and is one conflict', () => {
    const lines = [cartInYard, put('cart', 'case', 4), put('cart', 'pouch', 5), put('case', 'cart', 2)];
    const all = [...lines, put('pouch', 'cart', 3)];
    expect(chain('cart', all)).toEqual(['cart', 'yard'].map(place));
    expect(loopsIn(atlasOf(all))).toMatchObject([
      { containerId: thing('cart'), passedOver: { at: 5 }, countsAt: place('yard') },
    ]);
  });

  test('undoing the line that closed it ends the conflict', () => {
    const lines = [caseIntoCart, cartIntoCase, cartInYard, makeVoid(cartIntoCase, 9)];
    expect(loopsIn(atlasOf(lines))).toEqual([]);
  });

  test('fixed places in a loop, which nothing should make, end the walk where it began to repeat', () => {
    const places = atlasPlaces(fixedPlace('left', 'right'), fixedPlace('right', 'left'));
    expect(chainOf(place('left'), { places, history: new Map() })).toEqual([place('left'), place('right')]);
  });
});

describe('law 7: any world', () => {
  const cases = anyMovesOfContainers.chain((lines) =>
    fc.record({
      lines: fc.constant(lines),
      arrived: anyArrival(lines),
      picks: fc.array(fc.nat(), { minLength: 1 }),
    }),
  );

  test('every chain is what is left when loop after loop is taken away, in whichever order', () => {
    fc.assert(
      fc.property(cases, ({ lines, arrived, picks }) => {
        let turn = 0;
        const pick = () => {
          turn += 1;
          return picks[turn % picks.length] ?? 0;
        };
        const outwards = modelOutwards(WORLD, atlasOf(lines).history, pick);
        for (const id of WORLD.keys()) {
          const expected: PlaceId[] = [];
          for (let at: PlaceId | null = id; at !== null; at = outwards.get(at) ?? null) expected.push(at);
          expect(chainOf(id, atlasOf(arrived))).toEqual(expected);
        }
      }),
    );
  });

  test('the conflicts are exactly the containers that do not count where their latest line says', () => {
    fc.assert(
      fc.property(cases, ({ lines, arrived }) => {
        const { history } = atlasOf(lines);
        const outwards = modelOutwards(WORLD, history, () => 0);
        const loops = loopsIn(atlasOf(arrived));
        const listed = new Map(loops.map((loop) => [loop.containerId, loop]));
        expect(listed.size).toBe(loops.length);
        for (const name of MOVING) {
          const loop = listed.get(thing(name));
          const counts = outwards.get(place(name)) ?? null;
          if (loop === undefined) expect(counts).toBe(history.get(thing(name))?.[0]?.placeId ?? null);
          else {
            expect(loop.countsAt).toBe(counts);
            expect(loop.passedOver).toEqual(history.get(thing(name))?.[0]);
          }
        }
      }),
    );
  });

  test('a move would close a loop exactly when, written down now, it would be passed over', () => {
    fc.assert(
      fc.property(anyMovesOfContainers, fc.constantFrom(...MOVING), anyPlace, (lines, name, toId) => {
        const move = makeLine('move', { at: 1_000, thingId: thing(name), toId });
        const listed = loopsIn(atlasOf([...lines, move]));
        const passedOver = listed.some((loop) => loop.passedOver.movementId === move.id);
        expect(wouldLoop(thing(name), toId, atlasOf(lines))).toBe(passedOver);
      }),
    );
  });

  test('a cart into a pouch in a case that was once put into that cart closes a loop, though the case counts elsewhere', () => {
    const lines = [
      put('case', 'yard', 1),
      put('cart', 'case', 2),
      put('case', 'cart', 3),
      put('pouch', 'case', 4),
    ];
    expect(chain('pouch', lines)).toEqual(['pouch', 'case', 'yard'].map(place));
    expect(wouldLoop(thing('cart'), place('pouch'), atlasOf(lines))).toBe(true);
  });

  test('a thing that is no container closes no loop, wherever it is put', () => {
    fc.assert(
      fc.property(anyMovesOfContainers, anyPlace, (lines, toId) => {
        expect(wouldLoop(thing('lamp'), toId, atlasOf(lines))).toBe(false);
      }),
    );
  });
});
