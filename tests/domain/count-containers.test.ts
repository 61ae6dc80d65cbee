// Cases and what is in them in a count, each rule as an example.
import { beforeEach, describe, expect, test } from 'vitest';
import { findAbsent } from '#domain/count-answers.ts';
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
  say,
} from './count-making.ts';
import { ABOARD, ABSENT, LATER, LOAD_IN, makeScene, OPEN, OPENED } from './count-scene.ts';

let outfit: Outfit;
let truck: PlaceId;
let shelf: PlaceId;
let drawer: PlaceId;
let hide: PlaceId;
let friend: PlaceId;
let stop: Stop;
let lens: ThingId;

beforeEach(() => {
  ({ outfit, truck, shelf, drawer, hide, friend, stop, lens } = makeScene());
});

const open = (at = OPENED, of = stop, round = 1) => openCount(outfit, at, of, truck, round);
const gist = (thingId = lens) => gistOf(lineOf(countOf(outfit, stop), thingId));

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
