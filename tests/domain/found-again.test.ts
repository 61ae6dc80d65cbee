// What the desk writes down about what is still out there: afterwards the list has to say so.
import { beforeEach, describe, expect, test } from 'vitest';
import { answerNumber, type Fact, findAbsent, findPlaced } from '#domain/count-answers.ts';
import { allBack, countedBack, foundAt, foundAtHome, givenBack, goneForGood } from '#domain/found-again.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import { type OutLine, outLineSchema } from '#domain/out-line.ts';
import { stillOut } from '#domain/still-out.ts';
import {
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  countOf,
  goingIn,
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

const OPENED = utc('2026-06-12T17:00:00Z');
const LATER = OPENED + 5 * MINUTE;
const NEXT_DAY = OPENED + 24 * 60 * MINUTE;

let outfit: Outfit;
let shelf: PlaceId;
let hide: PlaceId;
let owner: PlaceId;
let charger: ThingId;
let clamps: ThingId;
const stopOf = () => makeStop(hide, 'Reedbed hide');
let stop: ReturnType<typeof stopOf>;

beforeEach(() => {
  outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  owner = addPlace(outfit, 'party', 'Tern Rental');
  stop = stopOf();
  charger = addItem(outfit, 'Charger', shelf, {
    whose: 'rented-in',
    ownerPlaceId: owner,
    homes: [{ way: 'driving', placeId: shelf, number: 1 }],
  });
  clamps = addNumbers(outfit, 'counted', 'Clamps', [[shelf, 4]]);
  say(outfit, OPENED - 2, goingIn(charger, hide, { spot: 'wall socket' }));
  say(outfit, OPENED - 1, numberOf(clamps, 3, shelf, hide));
  openCount(outfit, OPENED, stop, truck);
});

function outOf(thingId: ThingId): OutLine[] {
  return stillOut({ book: bookOf(outfit), ...outfit, now: NEXT_DAY + MINUTE })
    .filter((line) => line.thingId === thingId)
    .map((line) => {
      const thing = outfit.things.get(line.thingId);
      const homeId = thing?.homes[0]?.placeId ?? null;
      const more = {
        ...{ maker: null, model: null, serial: null, dueOn: null, value: null, asked: null },
        homeId,
      };
      return outLineSchema.parse({ ...line, ...more, ownerPlaceId: thing?.ownerPlaceId ?? null });
    });
}
function theOut(thingId: ThingId): OutLine {
  const [line] = outOf(thingId);
  if (line === undefined) throw new Error('this thing is out');
  return line;
}
const write = (facts: readonly Fact[] | null) => sayAll(outfit, NEXT_DAY, facts ?? []);
const number = (thingId: ThingId) => Object.fromEntries(standingOf(bookOf(outfit)).levels.get(thingId) ?? []);
const placeOf = (thingId: ThingId) => standingOf(bookOf(outfit)).positions.get(thingId)?.placeId;
const loseCharger = () => {
  const count = countOf(outfit, stop);
  say(outfit, LATER, findAbsent(count, lineOf(count, charger), 'not-found'));
};
const loseClamps = (counted: number) => {
  const count = () => countOf(outfit, stop);
  sayAll(outfit, LATER, answerNumber(count(), lineOf(count(), clamps), counted));
  say(outfit, LATER + 10, findAbsent(count(), lineOf(count(), clamps), 'not-found'));
};

describe('found', () => {
  test('an item goes home, or where it is said to be, and is off the list', () => {
    loseCharger();
    write(foundAtHome(theOut(charger)));
    expect([outOf(charger), placeOf(charger)]).toEqual([[], shelf]);
    loseCharger();
    const there = addPlace(outfit, 'store', 'Boathouse');
    write(foundAt(theOut(charger), { toId: there, spot: 'top rack' }));
    expect([outOf(charger), placeOf(charger)]).toEqual([[], there]);
  });

  test('an item without a home does not go there', () => {
    const bag = addItem(outfit, 'Bag', shelf);
    say(outfit, LATER, moveOf(bag, owner, { why: 'lend' }));
    expect(foundAtHome(theOut(bag))).toBeNull();
  });

  test('missing pieces that are counted in full stand at their place alone', () => {
    loseClamps(2);
    const line = theOut(clamps);
    expect(line).toMatchObject({ number: 2, present: 2, outThere: [{ placeId: hide, number: 2 }] });
    expect(allBack(line)).toBe(4);
    write(foundAtHome(line));
    expect([outOf(clamps), number(clamps)]).toEqual([[], { [shelf]: 4 }]);
  });

  test('some of them found leave the rest missing', () => {
    loseClamps(2);
    write(countedBack(theOut(clamps), 3));
    expect(outOf(clamps)).toMatchObject([{ number: 1, present: 3 }]);
    expect(number(clamps)).toEqual({ [shelf]: 3, [hide]: 1 });
  });

  test('said to be missing before anybody counted: all back means the others that went in as well', () => {
    const count = countOf(outfit, stop);
    say(outfit, LATER, findAbsent(count, lineOf(count, clamps), 'not-found', { number: 1 }));
    expect(allBack(theOut(clamps))).toBe(4);
    write(foundAtHome(theOut(clamps)));
    expect([outOf(clamps), number(clamps)]).toEqual([[], { [shelf]: 4 }]);
  });

  test('a finding of counted gear that names no place is itself taken back', () => {
    const finding = { finding: 'not-found', number: 1, shownId: null, note: null } as const;
    say(outfit, LATER, {
      kind: 'absence',
      stopId: null,
      round: null,
      thingId: clamps,
      toId: null,
      ...finding,
    });
    write(foundAtHome(theOut(clamps)));
    expect(outOf(clamps)).toEqual([]);
  });

  test('pieces that were lent come back from where they are, never more than there are', () => {
    const count = countOf(outfit, stop);
    const placing = { why: 'lend' as const, toId: owner, spot: null, note: null, number: 2 };
    sayAll(outfit, LATER, findPlaced(count, lineOf(count, clamps), placing));
    write(foundAt(theOut(clamps), { toId: shelf, spot: null, number: 9 }));
    expect(outOf(clamps)).toEqual([]);
    expect(number(clamps)[owner] ?? 0).toBe(0);
  });
});

describe('given back, and gone for good', () => {
  test('what is with its owner is off the list', () => {
    loseCharger();
    write(givenBack(theOut(charger)));
    expect([outOf(charger), placeOf(charger)]).toEqual([[], owner]);
    expect(givenBack({ ...theOutOfClamps(), ownerPlaceId: owner })).toBeNull();
  });

  test('nobody said whose it is: it cannot be given back', () => {
    loseCharger();
    expect(givenBack({ ...theOut(charger), ownerPlaceId: null })).toBeNull();
  });

  test('pieces that stand somewhere leave it when they are written off; items and missing pieces need no line', () => {
    const count = countOf(outfit, stop);
    const placing = { why: 'lend' as const, toId: owner, spot: null, note: null, number: 3 };
    sayAll(outfit, LATER, findPlaced(count, lineOf(count, clamps), placing));
    write(goneForGood(theOut(clamps), 2));
    expect(outOf(clamps)).toMatchObject([{ number: 1, why: 'lend' }]);
    loseCharger();
    expect(goneForGood(theOut(charger), 1)).toEqual([]);
    expect(goneForGood(theOutOfClamps(), 1)).toEqual([]);
  });
});

function theOutOfClamps(): OutLine {
  loseClamps(2);
  const line = outOf(clamps).find(({ present }) => present !== null);
  if (line === undefined) throw new Error('clamps are missing');
  return line;
}
