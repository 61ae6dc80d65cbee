import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { standingOf } from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import { sealsOf } from '#domain/seal.ts';
import { anyLinesAsTheyArrive, bookOf, MOVING, makeLine, makeVoid, person, place, thing } from './making.ts';
import { modelIsSealed } from './model.ts';

const sealed = makeLine('seal', {
  at: 10,
  thingId: thing('case'),
  contents: [thing('lens'), thing('pouch'), thing('cables')],
  tie: '0417',
  personId: person('Ines'),
});
const isSealed = (lines: readonly Recorded[], before?: number) =>
  sealsOf(bookOf(lines), before).has(thing('case'));
const lensTo = (name: string, at: number) =>
  makeLine('move', { at, thingId: thing('lens'), toId: place(name) });

describe('law 8: a seal answers for what is inside until something contradicts it', () => {
  test('it tells what it noted, by whom and with which tie', () => {
    expect(sealsOf(bookOf([sealed])).get(thing('case'))).toEqual({
      containerId: thing('case'),
      lineId: sealed.id,
      at: 10,
      personId: person('Ines'),
      contents: [thing('lens'), thing('pouch'), thing('cables')],
      tie: '0417',
    });
  });

  test('the sealed case itself may go anywhere', () => {
    expect(
      isSealed([sealed, makeLine('move', { at: 11, thingId: thing('case'), toId: place('boat') })]),
    ).toBe(true);
  });

  test('a lens scanned elsewhere after it opens it, before it does not', () => {
    expect(isSealed([sealed, lensTo('hut', 11)])).toBe(false);
    expect(isSealed([sealed, lensTo('hut', 9)])).toBe(true);
  });

  test('a lens scanned in the case, or in a pouch that is in the case, contradicts nothing', () => {
    expect(isSealed([sealed, lensTo('case', 11), lensTo('pouch', 12)])).toBe(true);
  });

  test('a lens that went out and came back still opened it', () => {
    expect(isSealed([sealed, lensTo('hut', 11), lensTo('case', 12)])).toBe(false);
  });

  test('a thing that it does not note may be scanned anywhere', () => {
    expect(isSealed([sealed, makeLine('move', { at: 11, thingId: thing('lamp'), toId: place('hut') })])).toBe(
      true,
    );
  });

  test('cables taken out of it open it; cables that went between other places do not', () => {
    const number = { at: 11, thingId: thing('cables'), number: 1, toId: place('hut') };
    expect(isSealed([sealed, makeLine('quantity', { ...number, fromId: place('case') })])).toBe(false);
    expect(isSealed([sealed, makeLine('quantity', { ...number, fromId: place('truck') })])).toBe(true);
  });

  test('opened is opened; sealed anew is sealed', () => {
    const opened = makeLine('unseal', { at: 11, thingId: thing('case') });
    const anew = makeLine('seal', { at: 12, thingId: thing('case'), contents: [thing('lens')] });
    expect(isSealed([sealed, opened])).toBe(false);
    expect(isSealed([anew, sealed, opened, lensTo('hut', 11)])).toBe(true);
  });

  test('undoing the contradiction closes it again, undoing the seal opens it', () => {
    const out = lensTo('hut', 11);
    expect(isSealed([sealed, out, makeVoid(out, 12)])).toBe(true);
    expect(isSealed([sealed, makeVoid(sealed, 12)])).toBe(false);
  });

  test('before an instant only what was said before it counts', () => {
    expect(isSealed([sealed, lensTo('hut', 11)], 11)).toBe(true);
    expect(isSealed([sealed], 10)).toBe(false);
  });

  test('a position from before the book begins contradicts an older seal that stands beside it', () => {
    const bookAt20 = (lens: Recorded) => ({
      since: 20,
      base: [...standingOf(bookOf([lens])).positions.values()],
      levels: [],
      lines: [sealed],
    });
    expect(sealsOf(bookAt20(lensTo('hut', 11))).has(thing('case'))).toBe(false);
    expect(sealsOf(bookAt20(lensTo('hut', 9))).has(thing('case'))).toBe(true);
    expect(sealsOf(bookAt20(lensTo('case', 11))).has(thing('case'))).toBe(true);
  });

  test('for any lines in any order it is what the model says', () => {
    fc.assert(
      fc.property(anyLinesAsTheyArrive, ({ lines, arrived }) => {
        const seals = sealsOf(bookOf(arrived));
        for (const name of MOVING) expect(seals.has(thing(name))).toBe(modelIsSealed(thing(name), lines));
      }),
      { numRuns: 500 },
    );
  });
});
