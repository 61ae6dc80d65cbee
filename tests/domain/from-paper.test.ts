// A sheet that was ticked with a pencil and is entered later: when it may be from, what it writes, how it ranks.
import { beforeEach, describe, expect, test } from 'vitest';
import type { Fact } from '#domain/count-answers.ts';
import { answerOf } from '#domain/count-answers.ts';
import { factsOfPaper, type PaperTick, paperKeyOf, paperTime } from '#domain/from-paper.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import { CHECKS, checkSchema, wantedCheckSchema } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import {
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  countOf,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  numberOf,
  type Outfit,
  openCount,
  say,
  sayAll,
  utc,
} from './count-making.ts';

const OPENED = utc('2026-06-12T17:00:30Z');
const TICKED = utc('2026-06-12T17:20:00Z');
const NEXT_DAY = utc('2026-06-13T08:00:00Z');

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let hide: PlaceId;
let stop: Stop;
let lens: ThingId;
let charger: ThingId;
let clamps: ThingId;

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  stop = makeStop(hide, 'Reedbed hide');
  lens = addItem(outfit, 'Lens', shelf);
  charger = addItem(outfit, 'Charger', shelf);
  clamps = addNumbers(outfit, 'counted', 'Clamp', [[shelf, 8]]);
  openCount(outfit, OPENED, stop, truck);
});

const count = () => countOf(outfit, stop);
const keyOf = (thingId: ThingId) => paperKeyOf(lineOf(count(), thingId));
const compartments = new Map<PlaceId, 'on-paper' | 'not-opened'>();

/** Enters a sheet as the desk does: every line dated as of then, a millisecond after the one before. */
function enter(ticks: readonly (readonly [string, PaperTick])[], answers = compartments, at = TICKED) {
  const facts = factsOfPaper(count(), { lines: new Map(ticks), compartments: answers }, at);
  sayAll(outfit, at, facts);
  return facts;
}

describe('when a sheet may be from', () => {
  test('the minute that was typed, from the opening up to now', () => {
    expect(paperTime(TICKED, { openedAt: OPENED, now: NEXT_DAY })).toEqual({ at: TICKED });
    expect(paperTime(TICKED, { openedAt: OPENED, now: TICKED })).toEqual({ at: TICKED });
    expect(paperTime(TICKED, { openedAt: null, now: NEXT_DAY })).toEqual({ at: TICKED });
  });

  test('the minute of the opening means right after it', () => {
    const minute = utc('2026-06-12T17:00:00Z');
    expect(paperTime(minute, { openedAt: OPENED, now: NEXT_DAY })).toEqual({ at: OPENED + 1 });
  });

  test('a time to come is refused, and said first', () => {
    const now = TICKED - 1;
    const refusal = { kind: 'paper-from-the-future', now };
    expect(paperTime(TICKED, { openedAt: OPENED, now })).toEqual({ refusal });
    expect(paperTime(TICKED, { openedAt: NEXT_DAY, now })).toEqual({ refusal });
  });

  test('a minute that had ended when the count was opened is refused', () => {
    const refusal = { kind: 'paper-before-opening', openedAt: OPENED };
    expect(paperTime(utc('2026-06-12T16:59:00Z'), { openedAt: OPENED, now: NEXT_DAY })).toEqual({ refusal });
    const onTheMinute = utc('2026-06-12T17:00:00Z');
    expect(paperTime(onTheMinute - MINUTE, { openedAt: onTheMinute, now: NEXT_DAY })).toEqual({
      refusal: { kind: 'paper-before-opening', openedAt: onTheMinute },
    });
  });
});

describe('what a sheet writes', () => {
  test('a tick is a check on paper; it goes home to its compartment', () => {
    enter([[keyOf(lens), { said: 'here' }]]);
    const line = lineOf(count(), lens);
    expect(line).toMatchObject({ state: 'aboard', said: { said: 'on-paper', at: TICKED } });
    expect(line.last?.placeId).toBe(shelf);
  });

  test('counted gear: a tick says all of them, a number says so many', () => {
    const [all] = enter([[keyOf(clamps), { said: 'here' }]]);
    expect(all).toMatchObject({ kind: 'hand-count', number: 8, check: 'on-paper', toId: shelf });
    enter([[keyOf(clamps), { said: 'here', number: 5 }]], compartments, TICKED + MINUTE);
    expect(lineOf(count(), clamps)).toMatchObject({ state: 'short', found: 5, said: { said: 'on-paper' } });
  });

  test('counted gear that went in stands at one place after its tick, unless it went in later than the sheet', () => {
    const numbers = () => [...(standingOf(bookOf(outfit)).levels.get(clamps) ?? [])];
    say(outfit, TICKED - MINUTE, numberOf(clamps, 3, shelf, hide));
    enter([[keyOf(clamps), { said: 'here' }]]);
    expect(numbers()).toEqual([[shelf, 8]]);
    say(outfit, TICKED + 5 * MINUTE, numberOf(clamps, 2, shelf, hide));
    enter([[keyOf(clamps), { said: 'here' }]], compartments, TICKED + MINUTE);
    expect(new Map(numbers()).get(hide)).toBe(2);
  });

  test('lines in the order of the count, then compartments; what has no tick stays open', () => {
    const facts = enter(
      [
        [keyOf(clamps), { said: 'here' }],
        [keyOf(charger), { said: 'not-found' }],
      ],
      new Map([[shelf, 'on-paper' as const]]),
    );
    const kinds = facts.map(({ kind }) => kind);
    expect(kinds.at(-1)).toBe('answer');
    expect(new Set(kinds)).toEqual(new Set(['absence', 'hand-count', 'answer']));
    expect(lineOf(count(), charger).state).toBe('absent');
    expect(lineOf(count(), lens).state).toBe('open');
    expect(count().compartments).toMatchObject([{ placeId: shelf, answer: 'on-paper', open: 1 }]);
  });

  test('a compartment that was not opened stays what it is', () => {
    const facts = enter([], new Map([[shelf, 'not-opened' as const]]));
    expect(facts).toEqual([answerOf(count(), shelf, 'not-opened')]);
  });
});

describe('a sheet against what phones said', () => {
  test('a scan that is later than the sheet keeps the last word', () => {
    say(outfit, TICKED + MINUTE, moveOf(lens, hide, { why: 'load-in' }));
    enter([[keyOf(lens), { said: 'here' }]]);
    const line = lineOf(count(), lens);
    expect(line.state).toBe('open');
    expect(line.last?.placeId).toBe(hide);
  });

  test('a finding on the sheet does not stand against a scan that came after it', () => {
    say(outfit, TICKED + MINUTE, moveOf(lens, shelf, { why: 'wrap' }));
    const facts = enter([[keyOf(lens), { said: 'not-found' }]]);
    expect(facts).toMatchObject([{ kind: 'absence', shownId: null }]);
    expect(lineOf(count(), lens)).toMatchObject({ state: 'aboard', said: { said: 'scanned' } });
  });

  test('a finding on the sheet names the scan from before it, which its finder had on the list', () => {
    say(outfit, OPENED + MINUTE, moveOf(lens, hide, { why: 'load-in' }));
    const shown = lineOf(count(), lens).last?.movementId;
    const facts: readonly Fact[] = enter([[keyOf(lens), { said: 'not-found' }]]);
    expect(facts).toMatchObject([{ kind: 'absence', shownId: shown }]);
    expect(lineOf(count(), lens).state).toBe('absent');
  });

  test('it ranks right behind "seen" and before what nobody stood in front of', () => {
    expect(CHECKS.indexOf('on-paper')).toBe(CHECKS.indexOf('seen') + 1);
    for (const weaker of ['by-number', 'by-sight', 'with-container', 'not-opened'] as const)
      expect(CHECKS.indexOf(weaker)).toBeGreaterThan(CHECKS.indexOf('on-paper'));
  });

  test('a thing may be answered for on paper, but nothing asks for it', () => {
    expect(wantedCheckSchema.safeParse('on-paper').success).toBe(false);
    expect(wantedCheckSchema.safeParse('seen').success).toBe(true);
    expect(checkSchema.safeParse('on-paper').success).toBe(true);
  });
});
