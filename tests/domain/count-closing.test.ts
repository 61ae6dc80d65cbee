// What closing a count keeps for good, each rule as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import { closingOf, findAbsent } from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addContainer,
  addItem,
  countOf,
  gistOf,
  goingIn,
  lineOf,
  moveOf,
  type Outfit,
  openCount,
  PERSON,
  say,
  takeBack,
} from './count-making.ts';
import { ABOARD, ABSENT, LATER, makeScene, NEXT_DAY, OPEN, OPENED } from './count-scene.ts';

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let lens: ThingId;
let boom: ThingId;

beforeEach(() => {
  ({ outfit, truck, shelf, drawer, hide, friend, stop, lens, boom } = makeScene());
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));

describe('closing', () => {
  const closeNow = (at: number) => say(outfit, at, closingOf(countOf(outfit, stop)));

  test('is kept word for word; a second closing and what arrives later change nothing in it', () => {
    const count = open();
    say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found', { note: 'under the bench?' }));
    say(outfit, LATER, moveOf(boom, drawer));
    const closing = closeNow(LATER + 1);
    const { closed } = countOf(outfit, stop);
    const scan = say(outfit, NEXT_DAY, moveOf(lens, shelf));
    closeNow(NEXT_DAY + 1);
    expect(countOf(outfit, stop).closed).toEqual(closed);
    expect(closed).toMatchObject({ lineId: closing.id, at: LATER + 1, personId: PERSON });
    expect(closed?.lines.map(({ name, said, found }) => [name, said, found])).toEqual([
      ['Long lens', 'not-found', 0],
      ['Boom', 'scanned', 1],
    ]);
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('what was aboard at the closing stays so, whatever the next days bring', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER, moveOf(boom, drawer));
    closeNow(LATER + 1);
    say(outfit, NEXT_DAY, goingIn(lens, hide));
    say(outfit, NEXT_DAY, moveOf(boom, friend, { why: 'lend' }));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
    expect(countOf(outfit, stop).allAboard).toBe(true);
  });

  test('what was not found at the closing is not reopened by going out next day', () => {
    const count = open();
    const finding = say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found'));
    closeNow(LATER + 1);
    say(outfit, NEXT_DAY, goingIn(lens, hide));
    expect(gist()).toEqual({ ...ABSENT, said: 'not-found', by: finding.id, missingSince: LATER });
  });

  test('a case that was aboard at the closing and is out today leaves the closed count alone', () => {
    const box = addContainer(outfit, 'Card case', shelf);
    const card = addItem(outfit, 'Card 7', box.insideId);
    open();
    say(outfit, LATER, moveOf(box.thingId, shelf));
    const scan = say(outfit, LATER, moveOf(card, box.insideId));
    closeNow(LATER + 1);
    say(outfit, NEXT_DAY, goingIn(box.thingId, hide));
    expect(gist(card)).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a scan made before the closing on another phone settles its line when it arrives after', () => {
    const count = open();
    say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found'));
    closeNow(LATER + 10);
    const late = say(outfit, LATER + 5, moveOf(lens, shelf));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: late.id });
  });

  test('a closing that is taken back leaves the count open again', () => {
    open();
    takeBack(outfit, LATER + 2, closeNow(LATER + 1));
    say(outfit, LATER + 3, goingIn(lens, hide));
    expect(countOf(outfit, stop).closed).toBeNull();
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('a count that names more things than a line of the ledger can hold keeps those that are not aboard', () => {
    for (let no = 0; no < 5_000; no += 1) addItem(outfit, `Peg ${no}`, shelf);
    open();
    say(outfit, LATER, moveOf(boom, drawer));
    const { lines, sums } = closingOf(countOf(outfit, stop));
    expect([lines.length, sums.expected, sums.aboard]).toEqual([5_000, 5_002, 1]);
    expect(lines.map((line) => line.thingId)).not.toContain(boom);
  });
});
