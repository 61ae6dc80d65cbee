// The wrap sheet: what it names, in which order, and that it never asks for more room than one page has.
import fc from 'fast-check';
import { beforeEach, describe, expect, test } from 'vitest';
import { checkLine } from '#domain/count-answers.ts';
import { countAsIfOpened } from '#domain/count-as-if.ts';
import type { PlaceId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';
import { stillOut } from '#domain/still-out.ts';
import {
  COMPARTMENTS_MAX,
  LAST_LOOK_MAX,
  RISKY_MAX,
  SHEET_CELLS_MAX,
  type WrapSheet,
  wrapSheet,
} from '#domain/wrap-sheet.ts';
import {
  addClass,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  countOf,
  factsOf,
  goingIn,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  type Outfit,
  openCount,
  say,
  utc,
} from './count-making.ts';

const NOON = utc('2026-06-12T11:00:00Z');
const NOW = utc('2026-06-12T17:00:00Z');

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let hide: PlaceId;
let stop: Stop;

beforeEach(() => {
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  stop = makeStop(hide, 'Reedbed hide');
});

function sheetNow(lastLook: readonly string[] = []): WrapSheet {
  const facts = factsOf(outfit, stop);
  const { count, isOpened } = countAsIfOpened(facts, truck, NOW);
  const { places, things, classes, book } = facts;
  return wrapSheet({
    count,
    stillOut: stillOut({ book, places, things, classes, now: NOW, dayBeganAt: count.dayBeganAt }),
    nameOfPlace: (id) => places.get(id)?.name ?? '',
    outfit: { name: 'Reed and Heron', lastLook },
    jobName: 'Bittern',
    zone: stop.zone,
    now: NOW,
    isOpened,
  });
}

const namesOf = (part: WrapSheet['out']) => part.rows.map(({ name }) => name);
const cellsOf = ({ out, risky, compartments }: WrapSheet) =>
  [out.rows, risky.rows, compartments].reduce((cells, { length }) => cells + length + (length % 2), 0);

describe('what a sheet names', () => {
  test('before anybody counts: what went out since the morning, with where it was put down', () => {
    const lamp = addItem(outfit, 'Lamp', shelf);
    addItem(outfit, 'Tripod', shelf);
    say(outfit, NOON, goingIn(lamp, hide, { spot: 'on charge' }));
    const sheet = sheetNow();
    expect(sheet.isOpened).toBe(false);
    expect(sheet.out.rows).toEqual([
      { key: `${lamp}/`, name: 'Lamp', number: null, spot: 'on charge', place: 'Reedbed hide', why: null },
    ]);
    expect(sheet.compartments).toEqual([{ key: shelf, name: 'Shelf', pieces: 2, open: 2 }]);
  });

  test('in a count: only what nobody has answered for', () => {
    const lamp = addItem(outfit, 'Lamp', shelf);
    const hood = addItem(outfit, 'Hood', shelf);
    say(outfit, NOON, goingIn(lamp, hide));
    say(outfit, NOON, goingIn(hood, hide));
    const count = openCount(outfit, NOW - MINUTE, stop, truck);
    say(outfit, NOW, checkLine(count, lineOf(count, lamp), 'seen'));
    const sheet = sheetNow();
    expect(sheet.isOpened).toBe(true);
    expect(namesOf(sheet.out)).toEqual(['Hood']);
    expect(sheet.compartments).toEqual([{ key: shelf, name: 'Shelf', pieces: 2, open: 1 }]);
  });

  test('out goes by urgency; what is open and could be lost stands apart, each with its reason', () => {
    const chargers = addClass(outfit, 'Charger', { forgotten: 3 });
    const lamp = addItem(outfit, 'Lamp', shelf);
    const card = addItem(outfit, 'Card A', shelf, { holdsRushes: true });
    addItem(outfit, 'Card B', shelf, { holdsRushes: true });
    addItem(outfit, 'Long lens', shelf, { whose: 'borrowed' });
    addItem(outfit, 'Charger', shelf, { classId: chargers });
    addItem(outfit, 'Tripod', shelf);
    say(outfit, NOON, goingIn(lamp, hide));
    say(outfit, NOON, goingIn(card, hide));
    const sheet = sheetNow();
    expect(namesOf(sheet.out)).toEqual(['Card A', 'Lamp']);
    expect(sheet.risky.rows.map(({ name, why }) => [name, why])).toEqual([
      ['Card B', 'holds-rushes'],
      ['Long lens', 'borrowed'],
      ['Charger', 'often-forgotten'],
    ]);
  });

  test('what an earlier evening did not find stands first, also when this count does not ask for it', () => {
    const cable = addItem(outfit, 'Cable drum', hide);
    const lamp = addItem(outfit, 'Lamp', shelf);
    say(outfit, NOON - 86_400_000 * 3, {
      ...{ kind: 'absence', stopId: null, round: null, note: null, thingId: cable, toId: null },
      ...{ finding: 'not-found', number: null, shownId: null },
    });
    say(outfit, NOON, goingIn(lamp, hide));
    const [first, second] = sheetNow().out.rows;
    expect([first?.name, first?.why]).toEqual(['Cable drum', 'missing']);
    expect(second?.name).toBe('Lamp');
  });

  test('counted gear comes with its number, and a compartment with its pieces', () => {
    const clamps = addNumbers(outfit, 'counted', 'Clamp', [[shelf, 12]]);
    const kin = addClass(outfit, 'Clamps', { forgotten: 2 });
    outfit.things.set(clamps, { ...lineThing(clamps), classId: kin });
    const sheet = sheetNow();
    expect(sheet.risky.rows).toMatchObject([{ name: 'Clamp', number: 12, place: 'Shelf' }]);
    expect(sheet.compartments).toEqual([{ key: shelf, name: 'Shelf', pieces: 12, open: 1 }]);
  });

  test('it says nothing of money', () => {
    const replacement = { minor: 987_654, currency: 'EUR' };
    const lens = addItem(outfit, 'Lens', shelf, { replacement, valueRank: 77, whose: 'client' });
    say(outfit, NOON, goingIn(lens, hide));
    // An id may hold any digits.
    const text = JSON.stringify(sheetNow(), (name, value) => (name === 'key' ? undefined : value));
    expect(text).toContain('Lens');
    for (const told of ['987', 'EUR', 'alue', '77']) expect(text).not.toContain(told);
  });
});

function lineThing(id: Parameters<Outfit['things']['get']>[0]) {
  const thing = outfit.things.get(id);
  if (thing === undefined) throw new Error('this thing was not made');
  return thing;
}

describe('one page', () => {
  test('300 things out: the most urgent by name, the others summed by where they are', () => {
    const boat = addPlace(outfit, 'location', 'Landing stage');
    for (let n = 0; n < 300; n += 1) {
      const thing = addItem(outfit, `Cable ${String(n).padStart(3, '0')}`, shelf, { valueRank: 300 - n });
      say(outfit, NOON + n, goingIn(thing, n % 3 === 0 ? boat : hide));
    }
    const { out, ...sheet } = sheetNow();
    expect(cellsOf({ out, ...sheet })).toBe(SHEET_CELLS_MAX);
    expect(out.rows[0]?.name).toBe('Cable 000');
    expect(out.rows.length + out.rest.rows).toBe(300);
    const after = out.rows.length;
    const atBoat = Array.from({ length: 300 - after }, (_, at) => at + after).filter((n) => n % 3 === 0);
    expect(out.rest.at).toEqual([
      { place: 'Reedbed hide', rows: 300 - after - atBoat.length },
      { place: 'Landing stage', rows: atBoat.length },
    ]);
  });

  test('whatever the outfit, it never asks for more rows than the page has, and names no thing twice or loses one', () => {
    const sizes = fc.record({
      out: fc.nat(90),
      risky: fc.nat(40),
      plain: fc.nat(10),
      drawers: fc.nat(40),
      look: fc.nat(20),
    });
    fc.assert(
      fc.property(sizes, ({ out, risky, plain, drawers, look }) => {
        outfit = makeOutfit();
        truck = addVehicle(outfit, 'Heron 4×4');
        shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
        hide = addPlace(outfit, 'location', 'Reedbed hide');
        stop = makeStop(hide, 'Reedbed hide');
        for (let n = 0; n < drawers; n += 1) addPlace(outfit, 'compartment', `D${n}`, { parentId: truck });
        for (let n = 0; n < out; n += 1) say(outfit, NOON, goingIn(addItem(outfit, `Out ${n}`, shelf), hide));
        for (let n = 0; n < risky; n += 1) addItem(outfit, `Risk ${n}`, shelf, { whose: 'client' });
        for (let n = 0; n < plain; n += 1) addItem(outfit, `Plain ${n}`, shelf);
        const sheet = sheetNow(Array.from({ length: look }, (_, n) => `Place ${n}`));
        expect(cellsOf(sheet)).toBeLessThanOrEqual(SHEET_CELLS_MAX);
        expect(sheet.risky.rows.length).toBeLessThanOrEqual(RISKY_MAX);
        expect(sheet.compartments.length).toBeLessThanOrEqual(COMPARTMENTS_MAX);
        expect(sheet.lastLook.length).toBeLessThanOrEqual(LAST_LOOK_MAX);
        expect(sheet.out.rows.length + sheet.out.rest.rows).toBe(out);
        expect(sheet.risky.rows.length + sheet.risky.rest.rows).toBe(risky);
        expect(sheet.compartments.length + sheet.moreCompartments.rows).toBe(drawers + 1);
        const pieces = sheet.compartments.reduce((sum, row) => sum + row.pieces, 0);
        expect(pieces + sheet.moreCompartments.pieces).toBe(out + risky + plain);
        expect(new Set(namesOf(sheet.out)).size).toBe(sheet.out.rows.length);
      }),
      { numRuns: 40 },
    );
  });

  test('printing a sheet writes nothing: the count that it is made from is not open afterwards', () => {
    addItem(outfit, 'Lamp', shelf);
    const lines = outfit.lines.length;
    sheetNow();
    expect(outfit.lines.length).toBe(lines);
    expect(() => countOf(outfit, stop)).toThrow('nobody opened this count');
  });
});
