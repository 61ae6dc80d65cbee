// A book may begin at today's working day and bring along older findings of absence that still stand. They say what
// is missing, and change no position and no number.
import { expect, test } from 'vitest';
import { computeCount } from '#domain/count.ts';
import { openOf } from '#domain/count-answers.ts';
import { standingOf } from '#domain/ledger.ts';
import { stillOut } from '#domain/still-out.ts';
import {
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  bookOf,
  factsOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  say,
  utc,
} from './count-making.ts';

const DAYS_AGO = utc('2026-06-09T18:00:00Z');
const SINCE = utc('2026-06-12T04:00:00Z'); // 05:00 in Lisbon
const OPENED = utc('2026-06-12T17:00:00Z');

function makeDay() {
  const outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Heron 4×4');
  const shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  const stop = makeStop(addPlace(outfit, 'location', 'Reedbed hide'), 'Reedbed hide');
  addItem(outfit, 'Borrowed prime', shelf, { whose: 'borrowed', valueRank: 99 });
  const cable = addItem(outfit, 'Cable', shelf);
  const clamps = addNumbers(outfit, 'counted', 'Clamps', [[shelf, 4]]);
  const finding = { kind: 'absence' as const, stopId: null, round: null, note: null, shownId: null };
  const notFound = { ...finding, finding: 'not-found' as const };
  say(outfit, OPENED, openOf(stop.id, 1, truck));
  const plain = { ...bookOf(outfit), lines: [...outfit.lines], since: SINCE };
  const older = [
    say(outfit, DAYS_AGO, { ...notFound, thingId: cable, toId: null, number: null }),
    say(outfit, DAYS_AGO + 1, { ...notFound, thingId: clamps, toId: shelf, number: 1 }),
  ];
  const book = { ...plain, lines: [...plain.lines, ...older] };
  const countFrom = (from: typeof book) => {
    const count = computeCount({ ...factsOf(outfit, stop), book: from });
    if (count === null) throw new Error('the count was opened');
    return count;
  };
  return { outfit, shelf, cable, clamps, plain, book, countFrom };
}

test('a finding from before the book begins is missing since then, asked for again, and first of all', () => {
  const { cable, clamps, book, plain, countFrom } = makeDay();
  const gist = countFrom(book).lines.map(({ thingId, name, state, expected, missingSince }) =>
    thingId === cable || thingId === clamps ? { name, state, expected, missingSince } : name,
  );
  expect(gist).toEqual([
    { name: 'Cable', state: 'open', expected: 1, missingSince: DAYS_AGO },
    { name: 'Clamps', state: 'open', expected: 4, missingSince: DAYS_AGO + 1 },
    'Borrowed prime',
  ]);
  expect(countFrom(plain).lines.map((line) => line.name)).toEqual(['Borrowed prime', 'Cable', 'Clamps']);
});

test('a check of today sets it aside, as it does a finding of the book’s own time', () => {
  const { outfit, shelf, cable, book, countFrom } = makeDay();
  const scan = say(outfit, OPENED + MINUTE, moveOf(cable, shelf));
  const line = countFrom({ ...book, lines: [...book.lines, scan] }).lines.find(
    ({ thingId }) => thingId === cable,
  );
  expect(line).toMatchObject({ state: 'aboard', missingSince: null });
});

test('it is out there still, and it disturbs no position and no number', () => {
  const { outfit, book, plain } = makeDay();
  const out = stillOut({ ...outfit, book, now: OPENED, dayBeganAt: SINCE });
  expect(out.map(({ name, number, since, days }) => ({ name, number, since, days }))).toEqual([
    { name: 'Cable', number: 1, since: DAYS_AGO, days: 2 },
    { name: 'Clamps', number: 1, since: DAYS_AGO + 1, days: 2 },
  ]);
  const said = (from: typeof book) => {
    const { positions, levels, history } = standingOf(from);
    return { positions, levels, history };
  };
  expect(said(book)).toEqual(said(plain));
});
