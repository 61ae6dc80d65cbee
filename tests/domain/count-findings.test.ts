// Findings of absence, and what they mean from one stop of the day to the next, each as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import { findAbsent } from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addItem,
  addPlace,
  countOf,
  gistOf,
  goingIn,
  lineOf,
  MINUTE,
  makeStop,
  moveOf,
  type Outfit,
  openCount,
  say,
  takeBack,
  utc,
} from './count-making.ts';
import {
  ABOARD,
  ABSENT,
  DAY_BEGAN,
  LATER,
  LOAD_IN,
  makeScene,
  NEXT_DAY,
  OPEN,
  OPENED,
} from './count-scene.ts';

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
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));

describe('findings of absence', () => {
  const find = (at: number, finding: Parameters<typeof findAbsent>[2] = 'not-found') =>
    say(outfit, at, findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), finding));

  test.each(['not-found', 'did-not-come'] as const)(
    '%s answers a line, and the position stays',
    (finding) => {
      open();
      const line = find(LATER, finding);
      expect(gist()).toEqual({ ...ABSENT, said: finding, by: line.id, missingSince: LATER });
      expect(lineOf(countOf(outfit, stop), lens).last?.placeId).toBe(shelf);
    },
  );

  test('not ours answers a line, and nothing is missing', () => {
    open();
    const line = find(LATER, 'not-ours');
    expect(gist()).toEqual({ ...ABSENT, said: 'not-ours', by: line.id });
  });

  test('a later check sets it aside, also when it comes from another phone an hour late', () => {
    open();
    find(LATER + 1);
    const seen = say(outfit, LATER + 2, moveOf(lens, shelf, { check: 'seen' }));
    expect(gist()).toEqual({ ...ABOARD, said: 'seen', by: seen.id });
  });

  test('a scan since opening that the finder was not shown sets it aside, though it came before', () => {
    open();
    const finding = findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), 'not-found');
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER + 1, finding);
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('something merely seen before it does not', () => {
    open();
    const finding = findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), 'not-found');
    say(outfit, LATER, moveOf(lens, shelf, { check: 'seen' }));
    const line = say(outfit, LATER + 1, finding);
    expect(gist()).toEqual({ ...ABSENT, said: 'not-found', by: line.id, missingSince: LATER + 1 });
  });

  test('a finder who was shown the scan wins, and the finding names it', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    const line = find(LATER + 1);
    expect(line).toMatchObject({ kind: 'absence', shownId: scan.id });
    expect(gist()).toEqual({ ...ABSENT, said: 'not-found', by: line.id, missingSince: LATER + 1 });
  });

  test('a finder whose clock is behind the scan they were shown wins too, and so against earlier scans', () => {
    open();
    say(outfit, LATER, moveOf(lens, shelf));
    const shown = say(outfit, LATER + 5, moveOf(lens, shelf));
    const finding = findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), 'not-found');
    const line = say(outfit, LATER + 1, finding);
    expect(finding.shownId).toBe(shown.id);
    expect(gist()).toEqual({ ...ABSENT, said: 'not-found', by: line.id, missingSince: LATER + 1 });
  });

  test('a scan later than the one that was shown sets the finding aside', () => {
    open();
    say(outfit, LATER, moveOf(lens, shelf));
    const finding = findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), 'not-found');
    const unseen = say(outfit, LATER + 1, moveOf(lens, shelf));
    say(outfit, LATER + 2, finding);
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: unseen.id });
  });

  test('a scan from before the count was opened sets nothing aside', () => {
    say(outfit, OPENED - 1, moveOf(lens, shelf));
    open();
    const line = find(LATER);
    expect(gist()).toEqual({ ...ABSENT, said: 'not-found', by: line.id, missingSince: LATER });
  });

  test('a finding of the day before, of a clock so wrong that it names a scan of today, keeps no line open', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    const finding = findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), 'not-found');
    say(outfit, DAY_BEGAN - MINUTE, finding);
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id, missingSince: DAY_BEGAN - MINUTE });
  });

  test('a load-in after it says that it was found, and is out again', () => {
    open();
    find(LATER);
    say(outfit, LATER + 1, goingIn(lens, hide));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('taken back, it leaves the line open', () => {
    open();
    takeBack(outfit, LATER + 1, find(LATER));
    expect(gist()).toEqual(OPEN);
  });
});

describe('from one stop of the day to the next', () => {
  const noon = utc('2026-06-12T11:00:00Z');
  let earlier: Stop;
  beforeEach(() => {
    earlier = makeStop(hide, 'Sluice gate');
    open(noon, earlier);
  });
  const findEarlier = (finding: Parameters<typeof findAbsent>[2]) => {
    const count = countOf(outfit, earlier);
    return say(outfit, noon + MINUTE, findAbsent(count, lineOf(count, lens), finding));
  };

  test.each(['not-found', 'did-not-come'] as const)(
    '%s carries over, with the time it is missing since',
    (finding) => {
      const line = findEarlier(finding);
      open();
      expect(gist()).toEqual({ ...ABSENT, said: finding, by: line.id, missingSince: noon + MINUTE });
      const again = say(
        outfit,
        LATER,
        findAbsent(countOf(outfit, stop), lineOf(countOf(outfit, stop), lens), 'not-found'),
      );
      expect(gist()).toEqual({ ...ABSENT, said: 'not-found', by: again.id, missingSince: noon + MINUTE });
    },
  );

  test('not ours does not carry over, and neither does a check', () => {
    findEarlier('not-ours');
    say(outfit, noon + MINUTE, moveOf(boom, drawer));
    open();
    expect([gist(), gist(boom)]).toEqual([OPEN, OPEN]);
  });

  test('what was scanned after the finding is asked for again', () => {
    findEarlier('not-found');
    say(outfit, LOAD_IN, goingIn(lens, hide));
    open();
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('on the next day it is asked for again, missing since then and first of all', () => {
    findEarlier('not-found');
    const precious = addItem(outfit, 'Borrowed prime', shelf, { whose: 'borrowed', valueRank: 99 });
    const next = makeStop(hide, 'Causeway');
    open(NEXT_DAY, next);
    const { lines } = countOf(outfit, next);
    expect(gistOf(lineOf(countOf(outfit, next), lens))).toEqual({ ...OPEN, missingSince: noon + MINUTE });
    expect(lines.map((line) => line.thingId)).toEqual([lens, precious, boom]);
  });

  test('a hotel is counted in the morning as a stop is at night', () => {
    const inn = makeStop(addPlace(outfit, 'hotel', 'Inn at the weir'), 'Inn at the weir', { kind: 'hotel' });
    say(outfit, NEXT_DAY - 3 * 3_600_000, moveOf(boom, inn.placeId, { why: 'bring-in' }));
    const count = open(NEXT_DAY, inn);
    expect(count.lines.map(({ name, wentOut }) => [name, wentOut])).toEqual([
      ['Boom', true],
      ['Long lens', false],
    ]);
  });
});
