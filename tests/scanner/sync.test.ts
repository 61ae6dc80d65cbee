// The parts of the phone's sync that need no network: how long to wait, how clocks are compared, which answer is whose.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { lineAnswerSchema, movementSchema } from '#domain/movement.ts';
import { LOOK_EVERY_MS, waitAfter } from '../../scanner/sync/backoff.ts';
import { offsetFrom } from '../../scanner/sync/measure-clock.ts';
import { pairAnswers } from '../../scanner/sync/send-outbox.ts';
import { addItem, addPlace, makeOutfit, moveOf, say, utc } from '../domain/count-making.ts';

const NOW = utc('2026-06-12T21:00:00Z');

test('waits double and stop at a minute; in view at eight seconds; chance only shortens them, by half at most', () => {
  expect([1, 2, 3, 4, 7, 40].map((failures) => waitAfter(failures, 0, false))).toEqual([
    1_000, 2_000, 4_000, 8_000, 60_000, 60_000,
  ]);
  expect([1, 4, 40].map((failures) => waitAfter(failures, 0, true))).toEqual([1_000, 8_000, 8_000]);
  expect(waitAfter(1, 1, true)).toBe(500);
  expect(LOOK_EVERY_MS).toBeGreaterThanOrEqual(1_000);
});

test('the offset is read from the quickest question, halving its way', () => {
  const slow = { sentAt: NOW, cameAt: NOW + 3_000, serviceAt: NOW + 10_000 };
  const quick = { sentAt: NOW, cameAt: NOW + 40, serviceAt: NOW + 5_020 };
  expect(offsetFrom([slow, quick])).toBe(5_000);
  expect(offsetFrom([])).toBe(null);
});

test('a clock that is ahead or behind is found to half the way of the question', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -1e9, max: 1e9 }),
      fc.nat({ max: 500 }),
      fc.nat({ max: 500 }),
      (ahead, there, back) => {
        const measured = { sentAt: NOW, cameAt: NOW + there + back, serviceAt: NOW + there + ahead };
        const found = offsetFrom([measured]);
        expect(found === null ? Number.NaN : Math.abs(found - ahead)).toBeLessThanOrEqual(
          (there + back) / 2 + 1,
        );
      },
    ),
  );
});

function makeRows(number: number) {
  const outfit = makeOutfit();
  const thingId = addItem(outfit, 'Lens', null);
  const hide = addPlace(outfit, 'location', 'Hide');
  return Array.from({ length: number }, (_, index) => {
    const { at, timeUncertain, ...line } = say(outfit, NOW + index, moveOf(thingId, hide));
    expect(timeUncertain).toBe(false);
    return { deviceNo: line.deviceNo, line: movementSchema.parse(line), at };
  });
}

test('answers are paired by id, a refusal without an id by its place, and a missing answer fits nothing', () => {
  const [one, two, three] = makeRows(3);
  if (!one || !two || !three) throw new Error('three rows');
  const recorded = (id: string) =>
    lineAnswerSchema.parse({ answer: 'recorded', id, at: NOW, timeUncertain: false });
  const refusal = {
    answer: 'refused',
    id: null,
    index: 1,
    kind: 'malformed',
    detail: 'has no kind',
    fields: [],
  };
  const refused = lineAnswerSchema.parse(refusal);
  const answers = [recorded(three.line.id), refused, recorded(one.line.id)];
  const settled = pairAnswers([one, two, three], answers);
  expect(settled?.map(({ row, answer }) => [row.deviceNo, answer.answer])).toEqual([
    [one.deviceNo, 'recorded'],
    [two.deviceNo, 'refused'],
    [three.deviceNo, 'recorded'],
  ]);
  expect(pairAnswers([one, two], [recorded(one.line.id)])).toBe(null);
});
