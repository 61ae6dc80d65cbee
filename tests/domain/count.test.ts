// The rules of the count, each as an example: one 4×4 with two compartments at a stop by the water.
import { beforeEach, describe, expect, test } from 'vitest';
import { computeCount } from '#domain/count.ts';
import {
  answerNotOpened,
  answerOf,
  checkLine,
  closingOf,
  findAbsent,
  openOf,
} from '#domain/count-answers.ts';
import { countSchema } from '#domain/count-shape.ts';
import { countIdOf, type PlaceId, type ThingId } from '#domain/ids.ts';
import type { Reason } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import {
  addClass,
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  countOf,
  factsOf,
  gistOf,
  goingIn,
  lineOf,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  type Outfit,
  openCount,
  PERSON,
  say,
  takeBack,
  utc,
} from './count-making.ts';

const DAY_BEGAN = utc('2026-06-12T04:00:00Z'); // 05:00 in Lisbon
const LOAD_IN = utc('2026-06-12T13:00:00Z');
const OPENED = utc('2026-06-12T17:00:00Z');
const LATER = OPENED + 5 * MINUTE;
const NEXT_DAY = utc('2026-06-13T09:00:00Z');

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
  outfit = makeOutfit();
  truck = addVehicle(outfit, 'Heron 4×4');
  shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
  hide = addPlace(outfit, 'location', 'Reedbed hide');
  friend = addPlace(outfit, 'party', 'Ines, boat crew');
  stop = makeStop(hide, 'Reedbed hide');
  lens = addItem(outfit, 'Long lens', shelf);
  boom = addItem(outfit, 'Boom', drawer);
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));
const OPEN = {
  state: 'open',
  said: null,
  by: null,
  found: 0,
  absent: 0,
  expected: 1,
  missingSince: null,
  wentOut: false,
};
const ABOARD = { ...OPEN, state: 'aboard', found: 1 };
const ABSENT = { ...OPEN, state: 'absent', absent: 1 };

describe('a count exists once somebody has opened it', () => {
  test('nobody opened it, or another round of the stop was opened, or the opening was taken back', () => {
    expect(computeCount(factsOf(outfit, stop))).toBeNull();
    const opening = say(outfit, OPENED, openOf(stop.id, 2, truck));
    expect(computeCount(factsOf(outfit, stop))).toBeNull();
    expect(computeCount(factsOf(outfit, stop, 2))?.round).toBe(2);
    takeBack(outfit, LATER, opening);
    expect(computeCount(factsOf(outfit, stop, 2))).toBeNull();
  });

  test('the earliest opening counts, whatever the order of arrival and whatever the vehicle of the later one', () => {
    const boat = addVehicle(outfit, 'Flat boat');
    say(outfit, LATER, openOf(stop.id, 1, boat));
    say(outfit, OPENED, openOf(stop.id, 1, truck));
    const { id, openedAt, dayBeganAt, vehicleId, vehicleName, stopName, round } = countOf(outfit, stop);
    expect({ id, openedAt, dayBeganAt, vehicleId, vehicleName, stopName, round }).toEqual({
      id: countIdOf(stop.id, 1),
      openedAt: OPENED,
      dayBeganAt: DAY_BEGAN,
      vehicleId: truck,
      vehicleName: 'Heron 4×4',
      stopName: 'Reedbed hide',
      round: 1,
    });
  });

  test('it has the shape of the contract', () => {
    open();
    say(outfit, LATER, closingOf(countOf(outfit, stop)));
    expect(countSchema.parse(countOf(outfit, stop))).toEqual(countOf(outfit, stop));
  });

  test('a zone this device does not know gives way to the zone of the outfit', () => {
    const odd = makeStop(hide, 'Beyond the map', { zone: 'Wetland/Reedbed' });
    expect(open(OPENED, odd).dayBeganAt).toBe(DAY_BEGAN);
  });
});

describe('expected is what was aboard by the ledger when the working day began or came aboard before opening', () => {
  const names = () => countOf(outfit, stop).lines.map((line) => line.name);

  test('not what has its home there, not what left before the day, and not what came after the opening', () => {
    const homes = [{ way: 'driving' as const, placeId: shelf, number: 1 }];
    const store = addPlace(outfit, 'store', 'Boathouse');
    addItem(outfit, 'Second tripod', store, { homes });
    const came = addItem(outfit, 'Monitor', store);
    say(outfit, DAY_BEGAN - 1, moveOf(came, shelf));
    say(outfit, DAY_BEGAN - 1, moveOf(boom, store));
    const late = addItem(outfit, 'Slider', store);
    say(outfit, OPENED, moveOf(late, shelf));
    open();
    expect(names()).toEqual(['Long lens', 'Monitor']);
  });

  test('not the vehicle itself, what was written off, another entry of the same thing, or what only the ledger knows', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const vehicleThing = [...outfit.things.values()].find((thing) => thing.name === 'Heron 4×4');
    if (vehicleThing === undefined) throw new Error('the vehicle is a thing');
    say(outfit, DAY_BEGAN - MINUTE, moveOf(vehicleThing.id, store));
    addItem(outfit, 'Drowned microphone', shelf, { writtenOff: true });
    addItem(outfit, 'Boom (twice)', shelf, { mergedIntoId: boom });
    outfit.things.delete(addItem(outfit, 'Not in the catalogue', shelf));
    open();
    expect(names()).toEqual(['Boom', 'Long lens']);
  });

  test('at twenty past midnight it is what was aboard the morning before', () => {
    say(outfit, utc('2026-06-12T22:00:00Z'), goingIn(lens, hide));
    expect(open(utc('2026-06-12T23:20:00Z')).lines.map((line) => line.name)).toEqual(['Boom', 'Long lens']);
  });

  test('what stood out overnight is not asked for', () => {
    say(outfit, DAY_BEGAN - MINUTE, goingIn(lens, hide));
    open();
    expect(names()).toEqual(['Boom']);
  });

  test.each([
    'left-on-purpose',
    'with-somebody',
    'lend',
    'hand-over',
    'rent-out',
    'consumed',
  ] satisfies Reason[])(
    'what a line put away before opening (%s) is not asked for, until it is brought back',
    (why) => {
      say(outfit, LOAD_IN, moveOf(lens, friend, { why, check: null }));
      open();
      expect(names()).toEqual(['Boom']);
      say(outfit, OPENED - 1, moveOf(lens, shelf, { check: null }));
      expect(gist()).toEqual(OPEN);
    },
  );

  test('what was brought to the store or to a party for any reason before opening is not asked for', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const rack = addPlace(outfit, 'compartment', 'Rack', { parentId: store });
    say(outfit, LOAD_IN, moveOf(lens, rack, { why: 'tidy', check: null }));
    say(outfit, LOAD_IN, moveOf(boom, friend, { why: 'tidy', check: null }));
    open();
    expect(names()).toEqual([]);
  });

  test('a voided line put nothing away', () => {
    const lent = say(outfit, LOAD_IN, moveOf(lens, friend, { why: 'lend' }));
    takeBack(outfit, LATER, lent);
    open();
    expect(gist()).toEqual(OPEN);
  });

  test('what was put away after opening stays a line, said by that movement', () => {
    open();
    const lent = say(outfit, LATER, moveOf(lens, friend, { why: 'lend', check: null, note: 'till Monday' }));
    expect(gist()).toEqual({ ...OPEN, state: 'away', said: 'lend', by: lent.id });
    expect(lineOf(countOf(outfit, stop), lens).said).toEqual({
      said: 'lend',
      lineId: lent.id,
      at: LATER,
      personId: PERSON,
      deviceId: lent.deviceId,
      note: 'till Monday',
    });
  });
});

describe('the latest word since opening decides a line', () => {
  test('a check from before opening says only where to look', () => {
    say(outfit, LOAD_IN, goingIn(lens, hide, { spot: 'on the rail' }));
    say(outfit, OPENED - 1, moveOf(lens, shelf));
    open();
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
    expect(lineOf(countOf(outfit, stop), lens).last?.placeId).toBe(shelf);
  });

  test('a scan at the very millisecond of the opening counts', () => {
    open();
    const scan = say(outfit, OPENED, moveOf(lens, shelf));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test.each(['scanned', 'seen', 'by-number', 'by-sight'] as const)(
    'an item answered for %s is aboard, and says so',
    (check) => {
      open();
      const line = say(outfit, LATER, moveOf(lens, shelf, { check }));
      expect(gist()).toEqual({ ...ABOARD, said: check, by: line.id });
    },
  );

  test.each([null, 'with-container', 'not-opened'] as const)(
    'a move of its own that had it before nobody’s eyes (%s) answers for nothing',
    (check) => {
      open();
      say(outfit, LATER, moveOf(lens, shelf, { check }));
      expect(gist()).toEqual(OPEN);
    },
  );

  test('a move to the drawer by the desk does not take back a scan', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER + 1, moveOf(lens, drawer, { check: null, why: 'tidy' }));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a load-in after the scan reopens the line', () => {
    open();
    say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER + 1, goingIn(lens, hide));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('a scan into another vehicle is not aboard this one', () => {
    open();
    const boat = addVehicle(outfit, 'Flat boat');
    say(outfit, LATER, moveOf(lens, boat));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
  });

  test('lines of one millisecond are ordered by id', () => {
    open();
    const scan = say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER, goingIn(lens, hide));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
    outfit.lines.pop();
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a void takes a scan back, whenever it arrives', () => {
    open();
    takeBack(outfit, LATER + 1, say(outfit, LATER, moveOf(lens, shelf)));
    expect(gist()).toEqual(OPEN);
  });
});

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

describe('containers', () => {
  let box: ReturnType<typeof addContainer>;
  let card: ThingId;
  beforeEach(() => {
    box = addContainer(outfit, 'Card case', shelf);
    card = addItem(outfit, 'Card 7', box.insideId);
  });
  const seal = (at: number, contents: ThingId[]) =>
    say(outfit, at, {
      kind: 'seal',
      stopId: null,
      round: null,
      note: null,
      thingId: box.thingId,
      contents,
      tie: '0412',
    });
  const unbroken = (at: number) => say(outfit, at, moveOf(box.thingId, shelf, { sealUnbroken: true }));

  test('what is inside is asked for in the compartment its container was in when the day began', () => {
    const pouch = addContainer(outfit, 'Pouch', box.insideId);
    const reader = addItem(outfit, 'Card reader', pouch.insideId);
    const loose = addContainer(outfit, 'Rucksack', truck);
    const torch = addItem(outfit, 'Torch', loose.insideId);
    say(outfit, LOAD_IN, moveOf(box.thingId, drawer, { why: 'tidy' }));
    open();
    const where = [card, reader, torch].map(
      (thingId) => lineOf(countOf(outfit, stop), thingId).compartmentId,
    );
    expect(where).toEqual([shelf, shelf, truck]);
  });

  test('scanning the case asks for what is inside', () => {
    open();
    say(outfit, LATER, moveOf(box.thingId, shelf));
    expect(gist(card)).toEqual(OPEN);
  });

  test('sealed, and found unbroken, it answers for what the seal noted', () => {
    seal(LOAD_IN, [card]);
    open();
    const line = unbroken(LATER);
    expect(gist(card)).toEqual({ ...ABOARD, said: 'with-container', by: line.id });
  });

  test('it does not without the word, without a seal, for what the seal did not note, or after it was opened', () => {
    open();
    unbroken(LATER);
    expect(gist(card)).toEqual(OPEN);
    seal(LATER + 1, []);
    unbroken(LATER + 2);
    expect(gist(card)).toEqual(OPEN);
    seal(LATER + 3, [card]);
    say(outfit, LATER + 4, moveOf(box.thingId, shelf));
    expect(gist(card)).toEqual(OPEN);
    const opened = { stopId: null, round: null, note: null, thingId: box.thingId };
    say(outfit, LATER + 5, { kind: 'unseal', ...opened });
    unbroken(LATER + 6);
    expect(gist(card)).toEqual(OPEN);
  });

  test('a seal does not find what somebody said is missing', () => {
    seal(LOAD_IN, [card]);
    open();
    const count = countOf(outfit, stop);
    const line = say(outfit, LATER, findAbsent(count, lineOf(count, card), 'not-found'));
    unbroken(LATER + 1);
    expect(gist(card)).toEqual({ ...ABSENT, said: 'not-found', by: line.id, missingSince: LATER });
  });

  test('what is scanned into a case outside is aboard once the case is, and no sooner', () => {
    say(outfit, LOAD_IN, goingIn(box.thingId, hide));
    open();
    const scan = say(outfit, LATER, moveOf(lens, box.insideId));
    expect(gist()).toEqual({ ...OPEN, wentOut: true });
    say(outfit, LATER + 1, moveOf(box.thingId, shelf));
    expect(gist()).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a case that goes out again reopens what was checked inside it, also when it is back', () => {
    open();
    say(outfit, LATER, moveOf(card, box.insideId));
    say(outfit, LATER + 1, goingIn(box.thingId, hide));
    expect(gist(card)).toEqual({ ...OPEN, wentOut: true });
    say(outfit, LATER + 2, moveOf(box.thingId, shelf));
    expect(gist(card)).toEqual({ ...OPEN, wentOut: true });
  });

  test('what had left the case before does not go along with it', () => {
    open();
    const scan = say(outfit, LATER, moveOf(card, drawer));
    say(outfit, LATER + 1, goingIn(box.thingId, hide));
    expect(gist(card)).toEqual({ ...ABOARD, said: 'scanned', by: scan.id });
  });

  test('a case that is handed over takes its contents away, and brings them back unanswered', () => {
    open();
    const given = say(outfit, LATER, moveOf(box.thingId, friend, { why: 'hand-over', check: null }));
    expect(gist(card)).toEqual({ ...OPEN, state: 'away', said: 'hand-over', by: given.id });
    say(outfit, LATER + 1, moveOf(box.thingId, shelf));
    expect(gist(card)).toEqual(OPEN);
  });

  test('handed over before opening, neither the case nor its contents are asked for', () => {
    say(outfit, LOAD_IN, moveOf(box.thingId, friend, { why: 'hand-over' }));
    open();
    expect(countOf(outfit, stop).lines.map((line) => line.name)).toEqual(['Boom', 'Long lens']);
  });

  test('two cases put into each other by two phones end no walk and throw nothing', () => {
    const other = addContainer(outfit, 'Other case', shelf);
    open();
    say(outfit, LATER, moveOf(box.thingId, other.insideId));
    say(outfit, LATER + 1, moveOf(other.thingId, box.insideId));
    expect(countOf(outfit, stop).lines.filter((line) => line.state === 'aboard')).toHaveLength(2);
  });
});

describe('compartments', () => {
  const answers = () =>
    countOf(outfit, stop).compartments.map(({ name, answer, lines, open: waits }) => [
      name,
      answer,
      lines,
      waits,
    ]);
  const flags = () => {
    const { mayClose, allAboard } = countOf(outfit, stop);
    return { mayClose, allAboard };
  };

  test('each waits until its lines are answered, and then has the weakest of their checks', () => {
    const cap = addItem(outfit, 'Lens cap', shelf);
    open();
    expect(answers()).toEqual([
      ['Shelf', null, 2, 2],
      ['Drawer', null, 1, 1],
    ]);
    say(outfit, LATER, moveOf(lens, shelf));
    say(outfit, LATER, moveOf(cap, shelf, { check: 'by-sight' }));
    expect(answers()).toEqual([
      ['Shelf', 'by-sight', 2, 0],
      ['Drawer', null, 1, 1],
    ]);
    expect(flags()).toEqual({ mayClose: false, allAboard: false });
    say(outfit, LATER, moveOf(boom, drawer, { check: 'seen' }));
    expect(flags()).toEqual({ mayClose: true, allAboard: true });
  });

  test('one that held nothing waits for its own answer, and the count is never all aboard before', () => {
    addPlace(outfit, 'compartment', 'Roof box', { parentId: truck });
    const count = open();
    say(outfit, LATER, checkLine(count, lineOf(count, lens), 'scanned'));
    say(outfit, LATER, checkLine(count, lineOf(count, boom), 'scanned'));
    expect(flags()).toEqual({ mayClose: false, allAboard: false });
    const roof = countOf(outfit, stop).compartments.find((known) => known.name === 'Roof box');
    if (roof === undefined) throw new Error('the roof box is a compartment');
    say(outfit, LATER, answerOf(count, roof.placeId, 'by-sight'));
    expect(flags()).toEqual({ mayClose: true, allAboard: true });
  });

  test('its own answer does not answer for lines that nobody has spoken of', () => {
    const count = open();
    say(outfit, LATER, answerOf(count, shelf, 'by-sight'));
    expect(answers()[0]).toEqual(['Shelf', 'by-sight', 1, 1]);
    expect(gist()).toEqual(OPEN);
    expect(flags()).toEqual({ mayClose: false, allAboard: false });
  });

  test('not opened vouches weakest for what stayed in, leaves open what went out, and is never all aboard', () => {
    const cap = addItem(outfit, 'Lens cap', shelf);
    say(outfit, LOAD_IN, goingIn(cap, hide));
    const count = open();
    const line = say(outfit, LATER, answerNotOpened(count, shelf));
    expect(gist()).toEqual({ ...ABOARD, said: 'not-opened', by: line.id });
    expect(gist(cap)).toEqual({ ...OPEN, wentOut: true });
    expect(countOf(outfit, stop).sums).toEqual({
      expected: 3,
      aboard: 1,
      notFound: 0,
      away: 0,
      compartments: 2,
      notOpened: 1,
    });
    say(outfit, LATER, moveOf(cap, shelf));
    say(outfit, LATER, moveOf(boom, drawer));
    expect(flags()).toEqual({ mayClose: true, allAboard: false });
  });

  test('not opened says nothing against what was said of a line, and a later answer takes its place', () => {
    const count = open();
    const finding = say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'did-not-come'));
    say(outfit, LATER + 1, answerNotOpened(count, shelf));
    say(outfit, LATER + 1, answerNotOpened(count, drawer));
    expect(gist()).toEqual({ ...ABSENT, said: 'did-not-come', by: finding.id, missingSince: LATER });
    say(outfit, LATER + 2, answerOf(count, drawer, 'by-sight'));
    expect(gist(boom)).toEqual(OPEN);
  });

  test('an answer of another round, another stop or from before opening is none', () => {
    const count = open();
    const other = makeStop(hide, 'Sluice gate');
    say(outfit, LATER, answerOf({ ...count, round: 2 }, shelf, 'not-opened'));
    say(outfit, LATER, answerOf({ ...count, stopId: other.id }, shelf, 'not-opened'));
    say(outfit, OPENED - 1, answerOf(count, shelf, 'not-opened'));
    expect(answers()[0]).toEqual(['Shelf', null, 1, 1]);
  });

  test('the vehicle itself is one only when something lay in it, and comes last', () => {
    addItem(outfit, 'Ladder', truck);
    open();
    expect(answers().map(([name]) => name)).toEqual(['Shelf', 'Drawer', 'Heron 4×4']);
  });

  test('a compartment of a cart or of another vehicle is none of this vehicle’s', () => {
    const cart = addContainer(outfit, 'Cart', truck);
    addPlace(outfit, 'compartment', 'Cart drawer', { parentId: cart.insideId });
    const boat = addVehicle(outfit, 'Flat boat');
    addPlace(outfit, 'compartment', 'Bow locker', { parentId: boat });
    open();
    expect(answers().map(([name]) => name)).toEqual(['Shelf', 'Drawer', 'Heron 4×4']);
  });

  test('all its lines absent or away is an answer too', () => {
    const count = open();
    say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found'));
    say(outfit, LATER, moveOf(boom, friend, { why: 'lend', check: null }));
    expect(answers()).toEqual([
      ['Shelf', 'seen', 1, 0],
      ['Drawer', 'seen', 1, 0],
    ]);
    expect(flags()).toEqual({ mayClose: true, allAboard: false });
  });
});

describe('in what order lines are named', () => {
  test('open before absent before answered; not replaceable, then what stops the shoot, then value', () => {
    const essential = addClass(outfit, 'camera body', { essential: true });
    const forgotten = addClass(outfit, 'receiver', { forgotten: 3 });
    const rest = [
      addItem(outfit, 'Card with rushes', shelf, { holdsRushes: true }),
      addItem(outfit, 'Body', shelf, { classId: essential, valueRank: 1 }),
      addItem(outfit, 'Receiver', shelf, { classId: forgotten }),
      addItem(outfit, 'Dear lens', shelf, { valueRank: 9 }),
    ];
    const count = open();
    say(outfit, LATER, findAbsent(count, lineOf(count, lens), 'not-found'));
    say(outfit, LATER, moveOf(boom, drawer));
    expect(countOf(outfit, stop).lines.map((line) => line.thingId)).toEqual([...rest, lens, boom]);
    const { urgency, forgotten: most, check } = lineOf(count, rest[2] ?? lens);
    expect({ urgency, most, check }).toEqual({ urgency: 'by-value', most: 3, check: 'seen' });
  });

  test('a mark made on a phone counts before the catalogue knows it, and until it is cleared', () => {
    open();
    const context = { stopId: null, round: null, thingId: boom };
    say(outfit, LATER, { kind: 'mark', ...context, note: null, mark: 'holds-rushes', on: true });
    say(outfit, LATER, { kind: 'mark', ...context, note: 'crackles', mark: 'faulty', on: true });
    expect(countOf(outfit, stop).lines.map(({ name, urgency, faulty }) => [name, urgency, faulty])).toEqual([
      ['Boom', 'cannot-be-replaced', 'crackles'],
      ['Long lens', 'by-value', null],
    ]);
    say(outfit, LATER + 1, { kind: 'mark', ...context, note: null, mark: 'holds-rushes', on: false });
    say(outfit, LATER + 1, { kind: 'mark', ...context, note: null, mark: 'faulty', on: false });
    expect(lineOf(countOf(outfit, stop), boom)).toMatchObject({ urgency: 'by-value', faulty: null });
  });
});

describe('beside the lines, and never holding the count open', () => {
  test('extras: unknown codes and what was not expected aboard, each once, until the closing', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const spare = addItem(outfit, 'Spare tripod', store, { whose: 'rented-in' });
    open();
    say(outfit, LATER, moveOf(null, truck, { code: 'X-1' }));
    const again = say(outfit, LATER + 1, moveOf(null, truck, { code: 'X-1', note: 'blue tape' }));
    const scan = say(outfit, LATER + 2, moveOf(spare, shelf));
    say(outfit, LATER + 2, moveOf(lens, shelf));
    say(outfit, LATER + 2, moveOf(addItem(outfit, 'Only tapped', store), shelf, { check: 'seen' }));
    say(outfit, LATER + 2, goingIn(addItem(outfit, 'Only out', store), hide));
    const expected = [
      {
        lineId: again.id,
        at: LATER + 1,
        thingId: null,
        name: null,
        code: 'X-1',
        whose: null,
        note: 'blue tape',
      },
      {
        lineId: scan.id,
        at: LATER + 2,
        thingId: spare,
        name: 'Spare tripod',
        code: null,
        whose: 'rented-in',
        note: null,
      },
    ];
    expect(countOf(outfit, stop).extras).toEqual(expected);
    say(outfit, LATER + 3, closingOf(countOf(outfit, stop)));
    say(outfit, LATER + 4, moveOf(null, truck, { code: 'X-2' }));
    expect(countOf(outfit, stop).extras).toEqual(expected);
  });

  test('tidy: aboard and answered for, with a driving home, and neither in it nor in something in it', () => {
    const home = (placeId: PlaceId) => [{ way: 'driving' as const, placeId, number: 1 }];
    const pouch = addContainer(outfit, 'Pouch', drawer);
    const strayed = addItem(outfit, 'Filter', shelf, { homes: home(drawer) });
    const inside = addItem(outfit, 'Cap', pouch.insideId, { homes: home(drawer) });
    const unasked = addItem(outfit, 'Grip', shelf, { homes: home(drawer) });
    const count = open();
    say(outfit, LATER, checkLine(count, lineOf(count, strayed), 'seen'));
    say(outfit, LATER, checkLine(count, lineOf(count, inside), 'seen'));
    expect(lineOf(count, unasked).state).toBe('open');
    expect(countOf(outfit, stop).misplaced).toEqual([
      { thingId: strayed, name: 'Filter', placeId: shelf, homePlaceId: drawer },
    ]);
  });

  test('refill: consumables of this vehicle below par, by the sum of what is aboard; they are never lines', () => {
    const store = addPlace(outfit, 'store', 'Boathouse');
    const homes = [{ way: 'driving' as const, placeId: drawer, number: 1 }];
    const low = addNumbers(
      outfit,
      'consumable',
      'Cloth tape',
      [
        [shelf, 1],
        [drawer, 2],
        [store, 50],
      ],
      { par: 6, unit: 'roll' },
    );
    addNumbers(outfit, 'consumable', 'Wipes', [[shelf, 9]], { par: 9 });
    addNumbers(outfit, 'consumable', 'Bin bags', [[store, 0]], { par: 9 });
    const none = addNumbers(outfit, 'consumable', 'AA cells', [], { par: 8, homes });
    open();
    expect(countOf(outfit, stop).refill).toEqual([
      { thingId: none, name: 'AA cells', unit: null, number: 0, par: 8 },
      { thingId: low, name: 'Cloth tape', unit: 'roll', number: 3, par: 6 },
    ]);
    expect(countOf(outfit, stop).lines.map((line) => line.name)).toEqual(['Boom', 'Long lens']);
  });
});

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
