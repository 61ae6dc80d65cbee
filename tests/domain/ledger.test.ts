import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Book } from '#domain/book.ts';
import {
  compareLines,
  livingLines,
  marksOf,
  type Standing,
  standingBefore,
  standingOf,
  withLine,
} from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import {
  anyArrival,
  anyLines,
  anyLinesAsTheyArrive,
  bookOf,
  lineId,
  makeLine,
  makeVoid,
  place,
  thing,
} from './making.ts';
import { isLater, isLiving, latestOf, modelHistoryIds, modelNumber, modelPositionLine } from './model.ts';

const lamp = thing('lamp');
const cables = thing('cables');
const whereIs = (lines: readonly Recorded[], before?: number) =>
  standingOf(bookOf(lines), before).positions.get(lamp)?.placeId;
const howMany = (lines: readonly Recorded[], name: string) =>
  standingOf(bookOf(lines)).levels.get(cables)?.get(place(name)) ?? 0;

/** What a standing says, without what it was made from. */
const said = ({ positions, levels, history }: Standing) => ({
  positions: new Map(positions),
  levels: new Map(levels),
  history: new Map(history),
});

const toHut = makeLine('move', { at: 1, toId: place('hut') });
const toBoat = makeLine('move', { at: 2, toId: place('boat') });

describe('law 4: one order', () => {
  test('the earlier time comes first, whatever the ids are', () => {
    expect(compareLines({ at: 1, id: 'f' }, { at: 2, id: '0' })).toBeLessThan(0);
  });

  test('at the same millisecond the ids decide, digits before letters as their bytes do', () => {
    expect(compareLines({ at: 1, id: '9' }, { at: 1, id: 'a' })).toBeLessThan(0);
    expect(compareLines({ at: 1, id: 'a' }, { at: 1, id: '9' })).toBeGreaterThan(0);
    expect(compareLines({ at: 1, id: 'a' }, { at: 1, id: 'a' })).toBe(0);
  });

  test('the order of ids as text is the order of their 16 bytes', () => {
    fc.assert(
      fc.property(fc.nat({ max: 3 }), fc.nat({ max: 3 }), fc.string(), fc.string(), (at, bt, a, b) => {
        const one = { at, id: lineId(a, at) };
        const other = { at: bt, id: lineId(b, bt) };
        expect(compareLines(one, other) > 0).toBe(isLater(one, other));
      }),
    );
  });
});

describe('law 2: only added', () => {
  test('a voided line and the void itself are left out, the others are in order', () => {
    expect(livingLines([toBoat, makeVoid(toBoat, 3), toHut])).toEqual([toHut]);
  });

  test('a void that comes before its target waits for it', () => {
    expect(livingLines([makeVoid(toBoat, 0), toHut, toBoat])).toEqual([toHut]);
  });

  test('a void of a void means nothing: what was cancelled stays cancelled', () => {
    const cancel = makeVoid(toBoat, 3);
    expect(livingLines([toHut, toBoat, cancel, makeVoid(cancel, 4)])).toEqual([toHut]);
  });

  test('a void names the line, even if it names another thing than the line does', () => {
    const cancel = makeLine('void', { at: 3, voids: toBoat.id, thingId: cables });
    expect(whereIs([toHut, toBoat, cancel])).toBe(place('hut'));
    expect(withLine(standingOf(bookOf([toHut, toBoat])), cancel).positions.get(lamp)?.placeId).toBe(
      place('hut'),
    );
  });

  test('exactly the living lines are left, each once, in order', () => {
    fc.assert(
      fc.property(anyLinesAsTheyArrive, ({ lines, arrived }) => {
        const living = livingLines(arrived);
        expect(new Set(living)).toEqual(new Set(lines.filter((line) => isLiving(line, lines))));
        living.slice(1).forEach((line, index) => {
          const earlier = living[index];
          expect(earlier !== undefined && isLater(line, earlier)).toBe(true);
        });
      }),
    );
  });
});

describe('law 5: a thing is where its latest line says', () => {
  test('the lamp is in the boat after the hut, whichever line came first', () => {
    expect(whereIs([toHut, toBoat])).toBe(place('boat'));
    expect(whereIs([toBoat, toHut])).toBe(place('boat'));
  });

  test('an undone scan puts the lamp back where it was before, also when asked for that earlier time', () => {
    expect(whereIs([toHut, toBoat, makeVoid(toBoat, 9)])).toBe(place('hut'));
    expect(whereIs([toHut, toBoat, makeVoid(toBoat, 9)], 5)).toBe(place('hut'));
  });

  test('before its first line it is nowhere, and a line at the very instant is not before it', () => {
    expect(whereIs([toHut], 1)).toBeUndefined();
    expect(whereIs([toHut], 2)).toBe(place('hut'));
  });

  test('a scan of a code that is tied to nothing moves nothing', () => {
    const stray = makeLine('move', { at: 1, thingId: null, code: 'K7', toId: place('hut') });
    expect(said(standingOf(bookOf([stray])))).toEqual(said(standingOf(bookOf([]))));
  });

  test('a position tells who put it where, when, why and on what spot', () => {
    const charger = makeLine('move', { at: 4, spot: 'on charge', why: 'left-on-purpose' });
    expect(standingOf(bookOf([charger])).positions.get(lamp)).toEqual({
      thingId: lamp,
      placeId: place('hut'),
      at: 4,
      movementId: charger.id,
      spot: 'on charge',
      why: 'left-on-purpose',
      personId: null,
      stopId: null,
    });
  });

  test('positions and their past are those of the model, however the lines arrive', () => {
    fc.assert(
      fc.property(anyLinesAsTheyArrive, fc.nat({ max: 14 }), ({ lines, arrived }, before) => {
        const now = standingOf(bookOf(arrived));
        const then = standingOf(bookOf(arrived), before);
        expect(said(standingBefore(standingOf(bookOf(arrived)), before))).toEqual(said(then));
        for (const thingId of new Set(
          lines.flatMap((line) => (line.kind === 'move' ? [line.thingId] : [])),
        )) {
          if (thingId === null) continue;
          expect(now.positions.get(thingId)?.movementId).toBe(modelPositionLine(thingId, lines)?.id);
          expect(then.positions.get(thingId)?.movementId).toBe(modelPositionLine(thingId, lines, before)?.id);
          const past = (now.history.get(thingId) ?? []).map(({ movementId }) => movementId);
          expect(past).toEqual(modelHistoryIds(thingId, lines));
        }
      }),
    );
  });
});

describe('law 6: numbers', () => {
  const bought = makeLine('quantity', { at: 1, number: 12, toId: place('truck') });
  const carried = makeLine('quantity', { at: 2, number: 5, fromId: place('truck'), toId: place('hut') });

  test('what came in less what went out', () => {
    expect(howMany([carried, bought], 'truck')).toBe(7);
    expect(howMany([carried, bought], 'hut')).toBe(5);
  });

  test('a number is negative until the missing line arrives', () => {
    expect(howMany([carried], 'truck')).toBe(-5);
  });

  test('a hand count says the number anew, and only later lines add to it', () => {
    const counted = makeLine('hand-count', { at: 3, toId: place('truck'), number: 9 });
    const back = makeLine('quantity', { at: 4, number: 2, fromId: place('hut'), toId: place('truck') });
    expect(howMany([back, counted, bought, carried], 'truck')).toBe(11);
    expect(howMany([back, counted, bought, carried], 'hut')).toBe(3);
  });

  test('a hand count of none is a number, and undone it is as if never said', () => {
    const none = makeLine('hand-count', { at: 3, toId: place('truck'), number: 0 });
    expect(howMany([bought, none], 'truck')).toBe(0);
    expect(howMany([bought, none, makeVoid(none, 4)], 'truck')).toBe(12);
  });

  test('at the same millisecond a hand count and a quantity are ordered by their ids', () => {
    const counted = makeLine('hand-count', { at: 1, toId: place('truck'), number: 3 });
    expect(howMany([bought, counted], 'truck')).toBe(isLater(bought, counted) ? 15 : 3);
  });

  test('numbers are those of the model, however the lines arrive', () => {
    fc.assert(
      fc.property(anyLinesAsTheyArrive, fc.nat({ max: 14 }), ({ lines, arrived }, before) => {
        const now = standingOf(bookOf(arrived));
        const then = standingOf(bookOf(arrived), before);
        expect(said(standingBefore(standingOf(bookOf(arrived)), before))).toEqual(said(then));
        for (const thingId of [cables, thing('clamps')]) {
          for (const placeId of ['yard', 'hut', 'shelf', 'truck', 'boat', 'case'].map(place)) {
            expect(now.levels.get(thingId)?.get(placeId) ?? 0).toBe(modelNumber(thingId, placeId, lines));
            expect(then.levels.get(thingId)?.get(placeId) ?? 0).toBe(
              modelNumber(thingId, placeId, lines, before),
            );
          }
        }
      }),
    );
  });
});

describe('a book is worth all the lines it stands for', () => {
  /** What the service would hand out: the truth before `since`, void or not, and the lines from then on. */
  function shortened(lines: readonly Recorded[], since: number): Book {
    const before = standingOf(bookOf(lines), since);
    const later = new Set(lines.filter((line) => line.at >= since).map(({ id }) => id));
    return {
      since,
      base: [...before.history.values()].flat(),
      levels: [...before.levels].flatMap(([thingId, numbers]) =>
        [...numbers].map(([placeId, number]) => ({ thingId, placeId, number })),
      ),
      lines: lines.filter((line) => line.at >= since || (line.kind === 'void' && later.has(line.voids))),
    };
  }

  test('wherever it is cut, it says the same now', () => {
    fc.assert(
      fc.property(anyLines, fc.nat({ max: 14 }), (lines, since) => {
        expect(said(standingOf(shortened(lines, since)))).toEqual(said(standingOf(bookOf(lines))));
      }),
    );
  });

  test('it says the same of every instant since', () => {
    fc.assert(
      fc.property(anyLines, fc.nat({ max: 14 }), fc.nat({ max: 14 }), (lines, since, after) => {
        const then = since + after;
        expect(said(standingOf(shortened(lines, since), then))).toEqual(
          said(standingOf(bookOf(lines), then)),
        );
      }),
    );
  });

  test('a void that stands before the book begins comes along with the line it names', () => {
    const book = shortened([toBoat, makeVoid(toBoat, 1)], 2);
    expect(standingOf(book).positions.get(lamp)).toBeUndefined();
  });

  test('it is asked for no time before it begins, because its numbers can not be rewound', () => {
    const book = shortened([toHut, toBoat], 2);
    expect(() => standingOf(book, 1)).toThrow('a book is asked for no time before it begins');
  });

  test('a void of a line that the base stands on takes it away until the book is read again', () => {
    const book = shortened([toHut, toBoat], 2);
    const stale = { ...book, lines: [...book.lines, makeVoid(toHut, 5), makeVoid(toBoat, 5)] };
    expect(standingOf(stale).positions.get(lamp)).toBeUndefined();
    expect(said([makeVoid(toHut, 5), makeVoid(toBoat, 5)].reduce(withLine, standingOf(book)))).toEqual(
      said(standingOf(stale)),
    );
  });
});

describe('one more line', () => {
  test('line by line, in any order and with repeats, it is what a full recompute says', () => {
    fc.assert(
      fc.property(anyLinesAsTheyArrive, ({ arrived }) => {
        let standing = standingOf(bookOf([]));
        for (const [index, line] of arrived.entries()) {
          standing = withLine(standing, line);
          expect(said(standing)).toEqual(said(standingOf(bookOf(arrived.slice(0, index + 1)))));
        }
      }),
    );
  });

  test('in any split into batches, as known before an instant', () => {
    const cases = anyLines.chain((lines) =>
      fc.record({
        arrived: anyArrival(lines),
        cut: fc.nat({ max: lines.length }),
        before: fc.nat({ max: 14 }),
      }),
    );
    fc.assert(
      fc.property(cases, ({ arrived, cut, before }) => {
        const first = standingOf(bookOf(arrived.slice(0, cut)), before);
        const both = arrived.slice(cut).reduce(withLine, first);
        expect(said(both)).toEqual(said(standingOf(bookOf(arrived), before)));
      }),
    );
  });

  test('the standing it was made from still says what it said', () => {
    const before = standingOf(bookOf([toHut]));
    withLine(before, toBoat);
    expect(before.positions.get(lamp)?.placeId).toBe(place('hut'));
  });

  test('a repeat gives the very same standing', () => {
    const standing = standingOf(bookOf([toHut]));
    expect(withLine(standing, toHut)).toBe(standing);
  });
});

describe('marks', () => {
  const hums = makeLine('mark', { at: 1, mark: 'faulty', on: true, note: 'hums' });
  const mended = makeLine('mark', { at: 2, mark: 'faulty', on: false });

  test('the latest mark stands, and an undone one never was', () => {
    expect(marksOf([mended, hums]).get(lamp)?.faulty).toEqual({ on: false, note: null, at: 2 });
    expect(marksOf([mended, hums, makeVoid(mended, 3)]).get(lamp)?.faulty).toEqual({
      on: true,
      note: 'hums',
      at: 1,
    });
  });

  test('faulty says nothing about rushes', () => {
    expect(marksOf([hums]).get(lamp)).toEqual({
      faulty: { on: true, note: 'hums', at: 1 },
      holdsRushes: undefined,
    });
  });

  test('for any arrival they are the latest living marks of each kind', () => {
    fc.assert(
      fc.property(anyLinesAsTheyArrive, ({ lines, arrived }) => {
        const marks = marksOf(arrived);
        for (const thingId of [lamp, thing('lens'), thing('case')]) {
          const of = (mark: string) =>
            latestOf(
              lines.flatMap((line) =>
                line.kind === 'mark' &&
                line.thingId === thingId &&
                line.mark === mark &&
                isLiving(line, lines)
                  ? [line]
                  : [],
              ),
            );
          expect(marks.get(thingId)?.faulty?.on).toBe(of('faulty')?.on);
          expect(marks.get(thingId)?.faulty?.note).toBe(of('faulty')?.note);
          expect(marks.get(thingId)?.holdsRushes).toBe(of('holds-rushes')?.on);
        }
      }),
    );
  });
});
