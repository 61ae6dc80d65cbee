// Two entries that are one thing: who may be merged, and that the lines said again put the thing where the lines of both
// say, whatever the order in which they arrive.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { marksOf, standingOf } from '#domain/ledger.ts';
import { linesToHandOver, meansTheKept, numbersToAdd, sayOf, whyNotMerged } from '#domain/merge.ts';
import { NUMBER_MAX, type Recorded } from '#domain/movement.ts';
import {
  anyArrival,
  anyPlace,
  bookOf,
  clockRun,
  device,
  lineId,
  makeLine,
  makeVoid,
  person,
  place,
  stop,
  thing,
} from './making.ts';

const kept = thing('charger');
const gone = thing('charger, double');

const judged = {
  ...({ kind: 'item', whose: 'ours', ownerPlaceId: null, mergedIntoId: null, writtenOff: false } as const),
  ...{ builtOnId: null, holdsMerged: false },
};
const ofKept = { ...judged, id: kept };
const ofGone = { ...judged, id: gone };

describe('whether two entries may become one', () => {
  test('two of the same kind and owner may, also when others were merged into the one that stays', () => {
    expect(whyNotMerged(ofGone, { ...ofKept, holdsMerged: true })).toBeNull();
  });

  test('each refusal comes before the next one', () => {
    const other = thing('other');
    // Everything that can be wrong is wrong; taken away one by one from the top.
    const bad = {
      ...ofGone,
      mergedIntoId: other,
      holdsMerged: true,
      writtenOff: true,
      whose: 'client',
    } as const;
    expect(whyNotMerged(bad, bad)).toEqual({ kind: 'merge-into-itself', id: gone });
    expect(whyNotMerged(bad, ofKept)).toEqual({ kind: 'merged-already', id: gone });
    const standing = { ...bad, mergedIntoId: null };
    expect(whyNotMerged(standing, { ...ofKept, mergedIntoId: other })).toEqual({
      kind: 'merged-already',
      id: kept,
    });
    expect(whyNotMerged(standing, ofKept)).toEqual({ kind: 'others-merged-into-it', id: gone });
    const alone = { ...standing, holdsMerged: false };
    expect(whyNotMerged(alone, ofKept)).toEqual({ kind: 'already-written-off', id: gone });
    expect(whyNotMerged({ ...alone, writtenOff: false }, { ...ofKept, writtenOff: true })).toEqual({
      kind: 'already-written-off',
      id: kept,
    });
  });

  test('all that shows that they are two is named at once', () => {
    const refusal = whyNotMerged(
      { ...ofGone, kind: 'counted', whose: 'borrowed', builtOnId: kept },
      { ...ofKept, ownerPlaceId: place('somebody') },
    );
    expect(refusal).toEqual({
      kind: 'not-alike',
      fields: [
        { pointer: '/kind', detail: 'one is counted gear, the other an item' },
        { pointer: '/whose', detail: 'they belong to different owners; correct whose one of them is' },
        { pointer: '/builtOnId', detail: 'one is built on the other, so they are two' },
      ],
    });
  });
});

/** What a merge adds to the ledger: the lines said again, and the voids of the ones that were. */
function mergeLines(lines: readonly Recorded[]): readonly Recorded[] {
  return linesToHandOver(lines.filter((line) => line.kind === 'void' || thingOf(line) === gone)).flatMap(
    ({ line, isSaidAgain }, n) => {
      const id = lineId(`again ${line.id}`, Math.max(line.at, 0));
      const stamp = { id, deviceId: device('merge'), deviceNo: n + 1, clockRun: clockRun('merge') };
      const again = { ...sayOf(line, kept, stamp), at: line.at, timeUncertain: line.timeUncertain };
      return [makeVoid(line, 1_000_000, n), ...(isSaidAgain ? [again] : [])];
    },
  );
}
const thingOf = (line: Recorded) => ('thingId' in line ? line.thingId : null);

// Every instant once, so that the order of two lines never hangs on their ids, which differ after a merge.
const anyMoves = fc
  .uniqueArray(fc.integer({ min: 1, max: 60 }), { minLength: 1, maxLength: 14 })
  .chain((instants) =>
    fc.tuple(
      ...instants.map((at) =>
        fc
          .record({ toId: anyPlace, thingId: fc.constantFrom(kept, gone), isVoided: fc.boolean() })
          .map(({ toId, thingId, isVoided }) => {
            const line = makeLine('move', { at, toId, thingId });
            return isVoided ? [line, makeVoid(line, at + 1)] : [line];
          }),
      ),
    ),
  )
  .map((lines): readonly Recorded[] => lines.flat());

describe('the lines said again', () => {
  test('put the thing where the latest living line of either entry does, in any order of arrival', () => {
    fc.assert(
      fc.property(
        anyMoves.chain((lines) => fc.tuple(fc.constant(lines), anyArrival([...lines, ...mergeLines(lines)]))),
        ([before, after]) => {
          // The model: all of it said of one thing from the beginning.
          const voided = new Set(
            before.flatMap((line) => (line.kind === 'void' ? [line.voids.toString()] : [])),
          );
          const latest = before
            .filter((line) => line.kind === 'move' && !voided.has(line.id))
            .reduce<Recorded | null>(
              (best, line) => (best === null || line.at > best.at ? line : best),
              null,
            );
          const { positions } = standingOf(bookOf(after));
          expect(positions.get(kept)?.placeId).toBe(latest?.kind === 'move' ? latest.toId : undefined);
          expect(positions.get(gone)).toBeUndefined();
        },
      ),
    );
  });

  test('keep who, when, where, the stop, the words and how it was checked', () => {
    const line = makeLine('move', {
      ...{
        at: 70,
        thingId: gone,
        toId: place('hut'),
        personId: person('Ida'),
        stopId: stop('reeds'),
        round: 2,
      },
      ...{ note: 'wet', spot: 'on the rail', why: 'load-in', check: 'seen', code: 'SEDGE-1' },
    });
    const stamp = {
      ...{ id: lineId('again', 70), deviceId: device('merge'), deviceNo: 1, clockRun: clockRun('merge') },
    };
    const { at: _at, timeUncertain: _uncertain, ...written } = line;
    expect(sayOf(line, kept, stamp)).toEqual({ ...written, ...stamp, thingId: kept, deviceAt: 70 });
  });

  test('leave a finding of absence behind: people say it of the double of what they have just scanned', () => {
    const lines = [
      makeLine('move', { at: 1, thingId: gone }),
      makeLine('absence', { at: 2, thingId: gone }),
      makeLine('mark', { at: 3, thingId: gone }),
      makeLine('hand-count', { at: 4, thingId: gone }),
      makeLine('quantity', { at: 5, thingId: gone }),
    ];
    const said = linesToHandOver(lines).map(({ line, isSaidAgain }) => [line.kind, isSaidAgain]);
    expect(said).toEqual([
      ['move', true],
      ['absence', false],
      ['mark', true],
      ['hand-count', false],
      ['quantity', false],
    ]);
    expect(
      marksOf(mergeLines(lines).filter((line) => thingOf(line) === kept)).get(kept)?.faulty,
    ).toMatchObject({
      on: true,
      at: 3,
    });
  });

  test('never say a void again', () => {
    const line = makeLine('move', { at: 1, thingId: gone });
    const stamp = { id: lineId('x'), deviceId: device('merge'), deviceNo: 1, clockRun: clockRun('merge') };
    expect(() => sayOf(makeVoid(line, 2), kept, stamp)).toThrow('only a line about a thing');
  });
});

test('a late line of the entry that went is meant for the other one, but for findings and hand counts', () => {
  const kinds = ['move', 'quantity', 'mark', 'seal', 'unseal', 'absence', 'hand-count', 'void'] as const;
  expect(kinds.filter((kind) => meansTheKept({ kind }))).toEqual([
    'move',
    'quantity',
    'mark',
    'seal',
    'unseal',
  ]);
});

describe('the numbers of counted gear', () => {
  test('of both entries add up at every place, also below nothing and beyond what one line can hold', () => {
    const anyNumber = fc.oneof(
      fc.integer({ min: -30, max: 30 }),
      fc.integer({ min: NUMBER_MAX - 1, max: 3 * NUMBER_MAX + 1 }),
    );
    fc.assert(
      fc.property(fc.uniqueArray(fc.tuple(anyPlace, anyNumber), { selector: ([at]) => at }), (levels) => {
        const rows = levels.map(([placeId, number]) => ({ thingId: gone, placeId, number }));
        const lines = numbersToAdd(rows, kept, 'Clamp').map((fact, n) =>
          makeLine('quantity', { ...fact, at: 9, n }),
        );
        const standing = standingOf(bookOf(lines)).levels.get(kept) ?? new Map();
        expect(Object.fromEntries(standing)).toEqual(
          Object.fromEntries(levels.filter(([, number]) => number !== 0)),
        );
      }),
    );
  });

  test('say what they were called', () => {
    const [line] = numbersToAdd([{ thingId: gone, placeId: place('hut'), number: 3 }], kept, 'x'.repeat(600));
    expect(line).toMatchObject({ number: 3, fromId: null, toId: place('hut'), why: 'tidy' });
    expect(line?.note).toHaveLength(500);
  });
});
