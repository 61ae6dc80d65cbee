// What a tap writes down, compared whole, and what the by-sight page shows before it.
import { beforeEach, describe, expect, test } from 'vitest';
import { answerBySight, sightPage } from '#domain/by-sight.ts';
import {
  answerNotOpened,
  checkLine,
  closeOf,
  closingOf,
  countByNumber,
  findAbsent,
  findPlaced,
  openOf,
} from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import {
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  countOf,
  goingIn,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  type Outfit,
  openCount,
  say,
  sayAll,
  utc,
} from './count-making.ts';

const NOON = utc('2026-06-12T11:00:00Z');
const OPENED = utc('2026-06-12T17:00:00Z');
const LATER = OPENED + 5 * MINUTE;

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let lens: ThingId;
let cap: ThingId;
let clamps: ThingId;
let pouch: ReturnType<typeof addContainer>;
let filter: ThingId;

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  friend = addPlace(outfit, 'party', 'Ines, boat crew');
  stop = makeStop(hide, 'Reedbed hide');
  lens = addItem(outfit, 'Lens', shelf, { valueRank: 9 });
  cap = addItem(outfit, 'Cap', shelf);
  pouch = addContainer(outfit, 'Pouch', shelf);
  filter = addItem(outfit, 'Filter', pouch.insideId);
  clamps = addNumbers(outfit, 'counted', 'Clamps', [[shelf, 4]]);
  say(outfit, NOON, goingIn(cap, hide, { spot: 'on the rail' }));
  openCount(outfit, OPENED, stop, truck);
});

const now = () => countOf(outfit, stop);
const context = () => ({ stopId: stop.id, round: 1, note: null });
const moveFact = (thingId: ThingId, toId: PlaceId) => ({
  kind: 'move',
  ...context(),
  check: 'by-sight',
  why: 'wrap',
  spot: null,
  thingId,
  code: null,
  toId,
  sealUnbroken: false,
});
const names = (lines: readonly { name: string }[]) => lines.map((line) => line.name);

describe('by sight', () => {
  test('first names what went out of the compartment today, then the rest, and what is settled apart', () => {
    say(outfit, LATER, moveOf(lens, shelf));
    const page = sightPage(now(), shelf);
    expect([names(page.wentOut), names(page.rest), names(page.settled)]).toEqual([
      ['Cap'],
      ['Clamps', 'Filter', 'Pouch'],
      ['Lens'],
    ]);
    expect(sightPage(now(), hide)).toEqual({ placeId: hide, wentOut: [], rest: [], settled: [] });
  });

  test('writes one line for each thing it named, where it lies, and the answer of the compartment', () => {
    say(outfit, LATER, moveOf(lens, shelf));
    expect(answerBySight(now(), shelf)).toEqual([
      moveFact(cap, shelf),
      { kind: 'hand-count', ...context(), thingId: clamps, toId: shelf, number: 4, check: 'by-sight' },
      moveFact(filter, pouch.insideId),
      moveFact(pouch.thingId, shelf),
      { kind: 'answer', ...context(), toId: shelf, check: 'by-sight' },
    ]);
  });

  test('answers for everything it named, and for nothing that became known afterwards', () => {
    const page = answerBySight(now(), shelf);
    say(outfit, LATER, goingIn(lens, hide));
    sayAll(outfit, LATER - MINUTE, page);
    expect(
      now()
        .lines.filter((line) => line.state === 'open')
        .map((line) => line.name),
    ).toEqual(['Lens']);
    expect(now().compartments.map(({ answer, open }) => ({ answer, open }))).toEqual([
      { answer: 'by-sight', open: 1 },
    ]);
  });

  test('says nothing of what was counted short or said to be missing', () => {
    say(outfit, LATER, countByNumber(now(), lineOf(now(), clamps), 3));
    say(outfit, LATER, findAbsent(now(), lineOf(now(), lens), 'not-found'));
    const named = answerBySight(now(), shelf).map((fact) => ('thingId' in fact ? fact.thingId : null));
    expect(named).toEqual([cap, filter, pouch.thingId, null]);
  });
});

describe('where a thing goes when it is answered for', () => {
  test('what went out with its container stays in it; what was moved into the pouch stays there', () => {
    say(outfit, NOON, goingIn(pouch.thingId, hide));
    say(outfit, NOON, moveOf(lens, pouch.insideId, { why: 'tidy', check: null }));
    expect(checkLine(now(), lineOf(now(), filter), 'by-sight')).toEqual(moveFact(filter, pouch.insideId));
    expect(checkLine(now(), lineOf(now(), pouch.thingId), 'by-sight')).toEqual(
      moveFact(pouch.thingId, shelf),
    );
  });

  test('what was tidied aboard today stays where it was put', () => {
    say(outfit, NOON, moveOf(lens, pouch.insideId, { why: 'tidy', check: null }));
    expect(checkLine(now(), lineOf(now(), lens), 'by-sight')).toEqual(moveFact(lens, pouch.insideId));
  });
});

describe('the other taps', () => {
  test('opening, and a compartment that nobody opened', () => {
    const opening = { kind: 'open', ...context(), vehicleId: truck };
    expect(openOf(stop.id, 1, truck)).toEqual(opening);
    const answer = { kind: 'answer', ...context(), toId: shelf, check: 'not-opened' };
    expect(answerNotOpened(now(), shelf)).toEqual(answer);
  });

  test('a finding names the line since opening that the finder was shown, and none from before', () => {
    const finding = { kind: 'absence', ...context(), toId: null, finding: 'not-found', number: null };
    expect(findAbsent(now(), lineOf(now(), cap), 'not-found')).toEqual({
      ...finding,
      thingId: cap,
      shownId: null,
    });
    const scan = say(outfit, LATER, moveOf(cap, shelf));
    expect(findAbsent(now(), lineOf(now(), cap), 'not-found', { note: 'fell in?' })).toEqual({
      ...finding,
      thingId: cap,
      note: 'fell in?',
      shownId: scan.id,
    });
  });

  test('a finding about counted gear says how many and of which place', () => {
    const finding = {
      kind: 'absence',
      ...context(),
      thingId: clamps,
      toId: shelf,
      finding: 'not-found',
      shownId: null,
    };
    expect(findAbsent(now(), lineOf(now(), clamps), 'not-found')).toEqual({ ...finding, number: 4 });
    expect(findAbsent(now(), lineOf(now(), clamps), 'not-found', { number: 2 })).toEqual({
      ...finding,
      number: 2,
    });
  });

  test('a finding that places a thing is a movement; counted gear is said to be here once more', () => {
    const placing = { why: 'with-somebody' as const, toId: friend, spot: 'her van', note: 'Ines' };
    const evidence = {
      ...context(),
      note: 'Ines',
      check: null,
      why: 'with-somebody',
      spot: 'her van',
      toId: friend,
    };
    expect(findPlaced(now(), lineOf(now(), lens), placing)).toEqual([
      { kind: 'move', ...evidence, thingId: lens, code: null, sealUnbroken: false },
    ]);
    const away = { kind: 'quantity', ...evidence, thingId: clamps, fromId: shelf };
    expect(findPlaced(now(), lineOf(now(), clamps), { ...placing, number: 2 })).toEqual([
      { ...away, number: 2 },
    ]);
    say(outfit, LATER, countByNumber(now(), lineOf(now(), clamps), 3));
    expect(findPlaced(now(), lineOf(now(), clamps), placing)).toEqual([
      { ...away, number: 1 },
      { kind: 'hand-count', ...context(), thingId: clamps, toId: shelf, number: 3, check: 'by-number' },
    ]);
  });

  test('a closing carries every line in words, with where it was last put down, and the sums', () => {
    const finding = say(outfit, LATER, findAbsent(now(), lineOf(now(), cap), 'not-found'));
    sayAll(outfit, LATER, answerBySight(now(), shelf));
    const count = now();
    const { lines, sums } = closeOf(count);
    expect(closingOf(count)).toEqual({ kind: 'close', ...context(), lines, sums });
    expect(sums).toEqual(count.sums);
    expect(lines[0]).toEqual({
      thingId: cap,
      placeId: null,
      name: 'Cap',
      expected: 1,
      found: 0,
      said: 'not-found',
      lineId: finding.id,
      lastPlaceId: hide,
      spot: 'on the rail',
    });
    expect(lines.map(({ name, found, said }) => [name, found, said]).slice(1)).toEqual([
      ['Lens', 1, 'by-sight'],
      ['Clamps', 4, 'by-sight'],
      ['Filter', 1, 'by-sight'],
      ['Pouch', 1, 'by-sight'],
    ]);
  });

  test('a line that nobody answered for closes as open, when somebody closes all the same', () => {
    say(outfit, LATER, countByNumber(now(), lineOf(now(), clamps), 3));
    const words = closeOf(now()).lines.map(({ name, found, said }) => [name, found, said]);
    expect(words).toContainEqual(['Clamps', 3, 'open']);
    expect(words).toContainEqual(['Lens', 0, 'open']);
  });
});
