// What the phone keeps in memory, how it stamps lines, and which stop it opens on.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { computeCount } from '#domain/count.ts';
import { openOf } from '#domain/count-answers.ts';
import { clockRunIdSchema, deviceIdSchema } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import { followClock } from '../../scanner/store/clock-run.ts';
import { narrowBook } from '../../scanner/store/narrow-book.ts';
import { outOfReach } from '../../scanner/store/out-of-reach.ts';
import { makesStale, bookOf as phoneBookOf, withChanges, withLines } from '../../scanner/store/phone-book.ts';
import { stampFacts } from '../../scanner/store/stamp.ts';
import { stopsOffered, stopToOpen } from '../../scanner/store/stops-offered.ts';
import {
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  factsOf,
  goingIn,
  LONG_AGO,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  numberOf,
  say,
  takeBack,
  utc,
} from '../domain/count-making.ts';
import { phoneOf } from './phone-making.ts';
import { closeLine } from './store-making.ts';

const RUN = clockRunIdSchema.parse('0b1c7a52-3c55-4f4f-9d55-2f5a3a4f0001');
const OTHER_RUN = clockRunIdSchema.parse('0b1c7a52-3c55-4f4f-9d55-2f5a3a4f0002');
const DEVICE = deviceIdSchema.parse('0b1c7a52-3c55-4f4f-9d55-2f5a3a4f0003');
const NOW = utc('2026-06-12T21:00:00Z');
const DAY = 86_400_000;

function makeTwo() {
  const outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Bittern');
  const hide = addPlace(outfit, 'location', 'Reedbed hide');
  const things = ['Lens', 'Boom', 'Slider'].map((name) => addItem(outfit, name, truck));
  return { outfit, truck, hide, things };
}

describe('the book in memory', () => {
  test('line by line it stands as it would be computed afresh, whatever the order, repeats and voids', () => {
    fc.assert(
      fc.property(fc.array(fc.nat({ max: 99 }), { minLength: 1, maxLength: 60 }), (picks) => {
        const { outfit, truck, hide, things } = makeTwo();
        const lines = picks.map((pick, at) => {
          const thingId = things[pick % things.length] ?? null;
          const before = outfit.lines[pick % Math.max(1, outfit.lines.length)];
          if (pick % 5 === 0 && before !== undefined && before.kind !== 'void')
            return takeBack(outfit, NOW + at, before);
          return say(outfit, NOW + (pick % 7), moveOf(thingId, pick % 2 === 0 ? truck : hide));
        });
        const empty = phoneOf({ ...outfit, lines: [] });
        const phone = [...lines, ...lines].reduce((now, line) => withLines(now, [line]), empty);
        const afresh = standingOf(phoneBookOf(phone));
        expect([...phone.standing.positions].sort()).toEqual([...afresh.positions].sort());
      }),
    );
  });

  test('lines that come again with another time, or for another thing, stand as they would be computed afresh', () => {
    const again = fc.record({ line: fc.nat(20), minutes: fc.integer({ min: -9, max: 9 }), thing: fc.nat(5) });
    const property = fc.property(
      fc.array(fc.nat({ max: 99 }), { minLength: 1, maxLength: 20 }),
      fc.array(again, { minLength: 1, maxLength: 20 }),
      (picks, changes) => {
        const { outfit, truck, hide, things } = makeTwo();
        const clamps = addNumbers(outfit, 'counted', 'Clamps', [[truck, 5]]);
        for (const [at, pick] of picks.entries()) {
          const before = outfit.lines[pick % Math.max(1, outfit.lines.length)];
          const when = NOW + (pick % 7) * MINUTE + at;
          if (pick % 6 === 0 && before !== undefined && before.kind !== 'void')
            takeBack(outfit, when, before);
          else if (pick % 4 === 0) say(outfit, when, numberOf(clamps, 1 + (pick % 3), truck, hide));
          else say(outfit, when, moveOf(things[pick % things.length] ?? null, pick % 2 === 0 ? truck : hide));
        }
        let phone = phoneOf(outfit);
        for (const { line, minutes, thing } of changes) {
          const known = outfit.lines[line % outfit.lines.length];
          if (known === undefined) continue;
          const moved = { ...known, at: known.at + minutes * MINUTE };
          const thingId = things[thing % things.length] ?? null;
          phone = withLines(phone, [moved.kind === 'move' ? { ...moved, thingId } : moved]);
        }
        const afresh = standingOf(phoneBookOf(phone));
        expect([...phone.standing.history].sort()).toEqual([...afresh.history].sort());
        expect([...phone.standing.positions].sort()).toEqual([...afresh.positions].sort());
        expect([...phone.standing.levels].sort()).toEqual([...afresh.levels].sort());
      },
    );
    fc.assert(property);
  });

  test('a line that the service gave another time takes that time over', () => {
    const { outfit, truck, hide, things } = makeTwo();
    const [lens] = things;
    if (lens === undefined) throw new Error('a lens');
    const first = say(outfit, NOW, moveOf(lens, hide));
    say(outfit, NOW + MINUTE, moveOf(lens, truck));
    const phone = phoneOf(outfit);
    expect(phone.standing.positions.get(lens)?.placeId).toBe(truck);
    const later = withLines(phone, [{ ...first, at: NOW + 2 * MINUTE }]);
    expect(later.standing.positions.get(lens)).toMatchObject({ placeId: hide, at: NOW + 2 * MINUTE });
    expect(later.lines.size).toBe(2);
  });

  test('a thing that gets a code in the feed is found by it at once, and no longer by a code it lost', () => {
    const { outfit, things } = makeTwo();
    const phone = phoneOf(outfit);
    const thing = phone.things.get(things[0] ?? DEVICE_NOTHING);
    if (thing === undefined) throw new Error('a thing');
    const coded = withChanges(phone, [{ kind: 'thing', no: 1, body: { ...thing, codes: ['A-1'] } }]);
    expect(coded.codes.get('A-1')).toEqual([{ kind: 'thing', id: thing.id }]);
    const lost = withChanges(coded, [{ kind: 'thing', no: 2, body: { ...thing, codes: [] } }]);
    expect(lost.codes.has('A-1')).toBe(false);
  });

  test('a line from before the book, and a void of a line in its base, ask for a new catalogue; nothing else does', () => {
    const { outfit, hide, things } = makeTwo();
    const [lens] = things;
    if (lens === undefined) throw new Error('a lens');
    const phone = phoneOf(outfit);
    const old = say(outfit, LONG_AGO - DAY, moveOf(lens, hide));
    const base = phone.base[0];
    const cancelled = takeBack(outfit, NOW, base === undefined ? old : { ...old, id: base.movementId });
    expect(makesStale(phone, old)).toBe(true);
    expect(makesStale(phone, cancelled)).toBe(true);
    expect(makesStale(phone, say(outfit, NOW, moveOf(lens, hide)))).toBe(false);
    expect(makesStale(phone, takeBack(outfit, NOW, old))).toBe(false);
  });
});
const DEVICE_NOTHING = addItem(makeOutfit(), 'nothing', null);

test('a count by the narrowed book is the count by the whole book, wherever things stand and go', () => {
  const place = fc.nat({ max: 5 });
  const moves = fc.array(fc.tuple(fc.nat({ max: 7 }), place), { maxLength: 25 });
  fc.assert(
    fc.property(fc.array(place, { minLength: 8, maxLength: 8 }), moves, (starts, moved) => {
      const outfit = makeOutfit();
      const truck = addVehicle(outfit, 'Bittern');
      const drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
      const store = addPlace(outfit, 'store', 'Boathouse');
      const shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: store });
      const { insideId, thingId: lensCase } = addContainer(outfit, 'Case', shelf);
      const inn = addPlace(outfit, 'hotel', 'Inn at the weir');
      const places = [truck, drawer, store, shelf, insideId, inn];
      const at = (no: number) => places[no] ?? store;
      const things = starts.map((start, no) => addItem(outfit, `Thing ${no}`, at(start)));
      addNumbers(outfit, 'counted', 'Clamps', [
        [drawer, 3],
        [shelf, 40],
        [inn, 2],
      ]);
      const stops = [
        makeStop(addPlace(outfit, 'location', 'Hide'), 'Hide'),
        makeStop(inn, 'Inn at the weir', { kind: 'hotel' }),
      ];
      for (const [index, [no, to]] of moved.entries()) {
        const thingId = no === 7 ? lensCase : things[no];
        if (thingId === undefined || (no === 7 && to === 4)) continue;
        say(outfit, NOW - DAY + index, moveOf(thingId, at(to)));
      }
      for (const stop of stops) say(outfit, NOW, openOf(stop.id, 1, truck));
      const phone = phoneOf(outfit, stops);
      for (const stop of stops) {
        const facts = factsOf(outfit, stop);
        expect(computeCount({ ...facts, book: narrowBook(phone) })).toEqual(computeCount(facts));
      }
    }),
  );
});

describe('whether the book reaches back to the day of a count', () => {
  const openedAt = utc('2026-06-12T17:00:00Z');
  const dayBeganAt = utc('2026-06-12T04:00:00Z'); // 05:00 in Lisbon
  const reach = (since: number, undone = false) => {
    const { outfit, truck, hide } = makeTwo();
    const stop = makeStop(hide, 'Reedbed hide');
    const opening = say(outfit, openedAt, openOf(stop.id, 1, truck));
    say(outfit, openedAt + MINUTE, openOf(stop.id, 1, truck));
    if (undone) takeBack(outfit, openedAt + 2 * MINUTE, opening);
    return outOfReach({ ...phoneOf(outfit, [stop]), since }, stop.id);
  };

  test('it does when it begins with the day, and does not when it begins a moment later', () => {
    expect(reach(dayBeganAt)).toBeNull();
    expect(reach(dayBeganAt + 1)).toEqual({ round: 1, dayBeganAt });
  });

  test('an opening that was taken back asks for nothing, the next one does; a stop without one is never out of reach', () => {
    expect(reach(NOW, true)).toEqual({ round: 1, dayBeganAt });
    const { outfit, hide } = makeTwo();
    const stop = makeStop(hide, 'Reedbed hide');
    expect(outOfReach({ ...phoneOf(outfit, [stop]), since: NOW }, stop.id)).toBeNull();
  });
});

describe('stamps', () => {
  const begun = {
    deviceId: DEVICE,
    lastNo: 0,
    lastDeviceAt: 0,
    lastRun: '',
    clocks: [],
    persistAsked: false,
  };
  const random = (bytes: number) => new Uint8Array(bytes).fill(7);
  const fact = goingIn(DEVICE_NOTHING, addPlace(makeOutfit(), 'location', 'Hide'));

  test('numbers go up by one and times rise inside a run, also when the clock stands still or goes back a little', () => {
    const given = { personId: null, clockRun: RUN, random };
    const first = stampFacts([fact, fact], { ...given, installation: begun, now: NOW });
    const second = stampFacts([fact], { ...given, installation: first.installation, now: NOW - 500 });
    const lines = [...first.lines, ...second.lines];
    expect(lines.map((line) => line.deviceNo)).toEqual([1, 2, 3]);
    expect(lines.map((line) => line.deviceAt - NOW)).toEqual([0, 1, 2]);
    expect(second.installation).toMatchObject({ lastNo: 3, lastRun: RUN });
  });

  test('a new run begins with its own clock, however far back it stands', () => {
    const given = { personId: null, random };
    const first = stampFacts([fact], { ...given, clockRun: RUN, installation: begun, now: NOW });
    const set = { ...given, clockRun: OTHER_RUN, installation: first.installation, now: NOW - DAY };
    expect(stampFacts([fact], set).lines[0]).toMatchObject({
      deviceNo: 2,
      deviceAt: NOW - DAY,
      clockRun: OTHER_RUN,
    });
  });

  test.each([
    ['goes on', 10_000, RUN],
    ['is corrected by 2 s', 12_000, RUN],
    ['jumps on by more', 12_001, OTHER_RUN],
    ['jumps back by more', 7_999, OTHER_RUN],
  ])('a clock that %s', (_what, wall, expected) => {
    const run = followClock({ id: RUN, wall: 0, monotonic: 0 }, { wall, monotonic: 10_000 }, () => OTHER_RUN);
    expect(run.id).toBe(expected);
  });
});

describe('the stop that the page opens on', () => {
  const begin = (startsAt: number) => {
    const { outfit, truck, hide } = makeTwo();
    const stop = makeStop(hide, 'Reedbed hide', { startsAt });
    return { outfit, truck, stop };
  };

  test('a count that was walked away from comes first, whatever its date', () => {
    const { outfit, truck, stop } = begin(NOW - 5 * DAY);
    const today = makeStop(stop.placeId, 'Causeway', { startsAt: NOW - MINUTE });
    say(outfit, NOW - 5 * DAY, openOf(stop.id, 1, truck));
    const offered = stopsOffered(phoneOf(outfit, [today, stop]), NOW);
    expect(offered.map(({ stop: { name }, unfinished }) => [name, unfinished])).toEqual([
      ['Reedbed hide', true],
      ['Causeway', false],
    ]);
    expect(stopToOpen(offered, NOW)?.stop.name).toBe('Reedbed hide');
  });

  test('a closed count is not offered again on another day, and today’s stop is', () => {
    const { outfit, truck, stop } = begin(NOW - 2 * DAY);
    say(outfit, NOW - 2 * DAY, openOf(stop.id, 1, truck));
    say(outfit, NOW - 2 * DAY + MINUTE, closeLine(stop.id, 1));
    expect(stopsOffered(phoneOf(outfit, [stop]), NOW)).toEqual([]);
    const today = makeStop(stop.placeId, 'Causeway', { startsAt: NOW - MINUTE });
    expect(stopToOpen(stopsOffered(phoneOf(outfit, [stop, today]), NOW), NOW)?.stop.name).toBe('Causeway');
  });

  test('last night’s hotel is what the morning opens on; the night before’s is not', () => {
    const { outfit, stop } = begin(NOW);
    const hotel = { ...stop, kind: 'hotel' as const };
    const phone = phoneOf(outfit, [hotel]);
    const morning = utc('2026-06-13T06:00:00Z');
    expect(stopToOpen(stopsOffered(phone, morning), morning)?.stop.id).toBe(stop.id);
    expect(stopToOpen(stopsOffered(phone, morning + DAY), morning + DAY)).toBe(null);
  });

  test('after midnight the evening’s stop is still today’s; after five it is not', () => {
    // Lisbon is at UTC+1 in June.
    const evening = utc('2026-06-12T21:00:00Z');
    const { outfit, stop } = begin(evening);
    const phone = phoneOf(outfit, [stop]);
    expect(stopToOpen(stopsOffered(phone, utc('2026-06-13T03:59:00Z')), NOW)?.stop.id).toBe(stop.id);
    expect(stopToOpen(stopsOffered(phone, utc('2026-06-13T04:00:00Z')), NOW)).toBe(null);
  });
});
