// What a scan on the phone comes to, decided from its own book.
import { describe, expect, test } from 'vitest';
import type { Recorded } from '#domain/movement.ts';
import { decideVerdict, verdictOn } from '../../scanner/store/decide-verdict.ts';
import { withLines } from '../../scanner/store/phone-book.ts';
import { followAlready, turnRound } from '../../scanner/store/turn-round.ts';
import {
  addContainer,
  addItem,
  addNumbers,
  addPlace,
  addVehicle,
  goingIn,
  MINUTE,
  makeOutfit,
  makeStop,
  moveOf,
  type Outfit,
  say,
  utc,
} from '../domain/count-making.ts';
import { contextOf, phoneOf } from './phone-making.ts';

const NOW = utc('2026-06-12T21:00:00Z');
// Valid and one character away from it, by ISO/IEC 7064 MOD 1271-36 (tests/check-values/iso7064-mod1271-36.json).
const TAG = 'TC7K3M0Q4X';
const MISREAD = 'TC7K3M1Q4X';

function makeTruck() {
  const outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Bittern');
  const drawer = addPlace(outfit, 'compartment', 'Left drawer', { parentId: truck });
  const hide = addPlace(outfit, 'location', 'Reedbed hide');
  const stop = makeStop(hide, 'Reedbed hide');
  return { outfit, truck, drawer, hide, stop };
}

const thingOf = (outfit: Outfit, name: string) => {
  const found = [...outfit.things.values()].find((thing) => thing.name === name);
  if (found === undefined) throw new Error(`no ${name}`);
  return found;
};

describe('back aboard', () => {
  test('a thing that the ledger has aboard is answered for where it is', () => {
    const { outfit, truck, drawer, stop } = makeTruck();
    const lens = addItem(outfit, 'Long lens', drawer, { codes: [TAG] });
    const context = contextOf(phoneOf(outfit), { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW });
    const verdict = decideVerdict('tc-7k3m0q-4x', false, context);
    expect(verdict).toMatchObject({
      kind: 'aboard',
      facts: [
        { kind: 'move', thingId: lens, toId: drawer, check: 'scanned', why: 'wrap', round: 1, code: TAG },
      ],
    });
  });

  test('a thing that went in comes back to its home in this vehicle', () => {
    const { outfit, truck, drawer, hide, stop } = makeTruck();
    const homes = [{ way: 'driving' as const, placeId: drawer, number: 1 }];
    const lens = addItem(outfit, 'Long lens', truck, { codes: [TAG], homes });
    say(outfit, NOW - MINUTE, goingIn(lens, hide));
    const context = contextOf(phoneOf(outfit), { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW });
    expect(decideVerdict(TAG, false, context)).toMatchObject({ kind: 'aboard', facts: [{ toId: drawer }] });
  });

  test('the second scan in one count says that it is aboard already, and the first of a count never does', () => {
    const { outfit, truck, drawer, stop } = makeTruck();
    const lens = addItem(outfit, 'Long lens', drawer, { codes: [TAG] });
    const before = phoneOf(outfit);
    const scan = say(outfit, NOW + MINUTE, moveOf(lens, drawer));
    const given = { mode: 'aboard', stop, vehicleId: truck } as const;
    const after = withLines(before, [scan]);
    expect(decideVerdict(TAG, false, contextOf(after, { ...given, openedAt: NOW })).kind).toBe(
      'already-aboard',
    );
    expect(decideVerdict(TAG, false, contextOf(after, { ...given, openedAt: NOW + 2 * MINUTE })).kind).toBe(
      'aboard',
    );
  });

  test('somebody else’s thing that was not aboard waits for a tap; a borrowed one that the count asks for does not', () => {
    const { outfit, truck, drawer, hide, stop } = makeTruck();
    const guest = addItem(outfit, 'Client’s drive', hide, { whose: 'client', codes: ['MARSH-1'] });
    addItem(outfit, 'Borrowed lens', drawer, { whose: 'borrowed', codes: ['QUAY-7'] });
    const given = { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW, notAsked: [guest] } as const;
    const context = contextOf(phoneOf(outfit), given);
    expect(decideVerdict('MARSH-1', false, context).kind).toBe('somebody-elses');
    expect(decideVerdict('QUAY-7', false, context).kind).toBe('aboard');
  });

  test('a case whose home is inside itself goes to the vehicle', () => {
    const { outfit, truck, stop } = makeTruck();
    const { thingId, insideId } = addContainer(outfit, 'Lens case', null);
    const thing = thingOf(outfit, 'Lens case');
    outfit.things.set(thingId, { ...thing, homes: [{ way: 'driving', placeId: insideId, number: 1 }] });
    const context = contextOf(phoneOf(outfit), { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW });
    expect(verdictOn(thingOf(outfit, 'Lens case'), null, context)).toMatchObject({
      facts: [{ toId: truck }],
    });
  });
});

test('going in says gone in once, then that it is in already', () => {
  const { outfit, truck, drawer, hide, stop } = makeTruck();
  const lens = addItem(outfit, 'Long lens', drawer, { codes: [TAG] });
  const given = { mode: 'going-in', stop, vehicleId: truck } as const;
  expect(decideVerdict(TAG, false, contextOf(phoneOf(outfit), given))).toMatchObject({
    kind: 'gone-in',
    facts: [{ toId: hide, why: 'load-in', round: null }],
  });
  say(outfit, NOW, goingIn(lens, hide));
  expect(decideVerdict(TAG, false, contextOf(phoneOf(outfit), given)).kind).toBe('already-in');
});

describe('codes', () => {
  test('a misread tag names the known tag that one slip explains, first', () => {
    const { outfit, truck, drawer, stop } = makeTruck();
    addItem(outfit, 'Long lens', drawer, { codes: [TAG] });
    const context = contextOf(phoneOf(outfit), { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW });
    const verdict = decideVerdict(MISREAD, false, context);
    expect(verdict.kind === 'bad-code' && verdict.candidates[0]).toBe(TAG);
  });

  test('a code that nobody knows is offered to be kept, with the code and no thing', () => {
    const { outfit, truck, stop } = makeTruck();
    const context = contextOf(phoneOf(outfit), { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW });
    expect(decideVerdict('RUNA-BATT-9', false, context)).toMatchObject({
      kind: 'unknown',
      facts: [{ thingId: null, code: 'RUNA-BATT-9', toId: truck, check: 'scanned' }],
    });
  });

  test('a product number that is on two things asks which; a compartment’s code opens it; counted gear asks how many', () => {
    const { outfit, truck, drawer, stop } = makeTruck();
    addItem(outfit, 'Head torch 1', drawer, { codes: ['04006381333931'] });
    addItem(outfit, 'Head torch 2', drawer, { codes: ['04006381333931'] });
    addNumbers(outfit, 'counted', 'Clamps', [[drawer, 6]], { codes: ['CLAMPS'] });
    const place = outfit.places.get(drawer);
    if (place !== undefined) outfit.places.set(drawer, { ...place, codes: ['DRAWER'] });
    const context = contextOf(phoneOf(outfit), { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW });
    expect(decideVerdict('4006381333931', false, context)).toMatchObject({ kind: 'which', things: [{}, {}] });
    expect(decideVerdict('DRAWER', false, context)).toEqual({ kind: 'place', placeId: drawer });
    expect(decideVerdict('CLAMPS', false, context)).toMatchObject({
      kind: 'how-many',
      thing: { name: 'Clamps' },
    });
    expect(decideVerdict('\u0000\u001d', false, context)).toEqual({ kind: 'unreadable' });
  });
});

describe('three already there in a row', () => {
  test('only different things with that answer make a row, and any other answer ends it', () => {
    const { outfit, drawer } = makeTruck();
    const lines = ['Lens', 'Boom', 'Slider', 'Mixer'].map((name) => {
      const thingId = addItem(outfit, name, drawer);
      return { thingId, lineId: say(outfit, NOW, moveOf(thingId, drawer)).id };
    });
    const [one, two, three] = lines;
    if (!one || !two || !three) throw new Error('four scans');
    expect([one, one, two].reduce(followAlready, [])).toEqual([one, two]);
    expect(lines.reduce(followAlready, [])).toHaveLength(3);
    expect(followAlready([one, two], null)).toEqual([]);
  });

  test('turning round cancels each line and sends each thing the other way', () => {
    const { outfit, truck, drawer, hide, stop } = makeTruck();
    const things = ['Lens', 'Boom', 'Slider'].map((name) => addItem(outfit, name, drawer, { codes: [name] }));
    const first = things.map((thingId) => say(outfit, NOW, goingIn(thingId, hide, { stopId: stop.id })));
    const again: Recorded[] = things.map((thingId) =>
      say(outfit, NOW + MINUTE, goingIn(thingId, hide, { stopId: stop.id, code: 'x' })),
    );
    const row = again.map((line, at) => ({ thingId: things[at] ?? line.id, lineId: line.id }));
    const phone = phoneOf(outfit);
    const context = contextOf(phone, { mode: 'aboard', stop, vehicleId: truck, openedAt: NOW + 2 * MINUTE });
    const known = row.flatMap(({ lineId }, at) => (things[at] ? [{ thingId: things[at], lineId }] : []));
    const facts = turnRound(known, context);
    expect(facts.filter(({ kind }) => kind === 'void')).toHaveLength(3);
    expect(facts.flatMap((fact) => (fact.kind === 'void' ? [fact.voids] : []))).toEqual(
      again.map(({ id }) => id),
    );
    expect(facts.flatMap((fact) => (fact.kind === 'move' ? [[fact.thingId, fact.why]] : []))).toEqual(
      things.map((thingId) => [thingId, 'wrap']),
    );
    expect(first).toHaveLength(3);
  });
});
