// Editing many things at once: what one set does to one thing.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { placeIdSchema, thingIdSchema } from '#domain/ids.ts';
import { PLAIN_FACTS, type Thing, thingSchema } from '#domain/thing.ts';
import { changeAmount, decideEdit, thingSetSchema } from '#domain/thing-edit.ts';

const DRAWER = placeIdSchema.parse('019ab000-0000-7000-8000-0000000000d1');
const SHELF = placeIdSchema.parse('019ab000-0000-7000-8000-0000000000d2');
const OWNER = placeIdSchema.parse('019ab000-0000-7000-8000-0000000000d3');
const price = { onDate: '2026-11-25', source: 'asked by phone' };

const make = (facts: Partial<Thing> = {}): Thing =>
  thingSchema.parse({
    ...PLAIN_FACTS,
    ...{ name: 'Hide stool', id: thingIdSchema.parse('019ab000-0000-7000-8000-000000000001'), kind: 'item' },
    ...{ codes: [], replacement: null, valueRank: 0, faulty: null, holdsRushes: false },
    ...{ mergedIntoId: null, writtenOff: false, version: 3 },
    ...facts,
  });

describe('what is set', () => {
  test('only what is named changes, and the way back holds what it was', () => {
    const thing = make({ maker: 'Reedwork', country: 'PT' });
    const decision = decideEdit(thing, { country: 'NL' });
    expect(decision).toMatchObject({
      edited: {
        facts: { name: 'Hide stool', maker: 'Reedwork', country: 'NL' },
        changes: [{ fact: 'country', before: 'PT', after: 'NL' }],
        back: { country: 'PT' },
        value: null,
      },
    });
  });

  test('a thing that is so already stays', () => {
    expect(decideEdit(make({ country: 'NL' }), { country: 'NL' })).toEqual({ stays: true });
  });

  test('nothing to set is no set', () => {
    expect(thingSetSchema.safeParse({}).success).toBe(false);
    expect(thingSetSchema.safeParse({ name: 'All alike' }).success).toBe(false);
  });

  test('a thing of ours cannot have an owner, and is left out with the reason', () => {
    const whose = { whose: 'ours', ownerPlaceId: OWNER, whoseFrom: null, whoseUntil: null } as const;
    expect(decideEdit(make(), { whose })).toMatchObject({ leftOut: 'contradiction' });
  });

  test('the home of one way of travelling is replaced, the other stays', () => {
    const thing = make({ homes: [{ way: 'flying', placeId: SHELF, number: 1 }] });
    const decision = decideEdit(thing, { home: { way: 'driving', placeId: DRAWER } });
    expect(decision).toMatchObject({
      edited: {
        facts: {
          homes: [
            { way: 'flying', placeId: SHELF, number: 1 },
            { way: 'driving', placeId: DRAWER, number: 1 },
          ],
        },
        back: { homes: [{ way: 'flying', placeId: SHELF, number: 1 }] },
      },
    });
  });

  test('as many of a counted thing live in the new home as lived in its old ones together', () => {
    const homes = [
      { way: 'driving', placeId: SHELF, number: 4 },
      { way: 'driving', placeId: OWNER, number: 8 },
    ] as const;
    const decision = decideEdit(make({ kind: 'counted', homes: [...homes] }), {
      home: { way: 'driving', placeId: DRAWER },
    });
    expect(decision).toMatchObject({ edited: { facts: { homes: [{ placeId: DRAWER, number: 12 }] } } });
    expect(decideEdit(make({ kind: 'counted' }), { home: { way: 'driving', placeId: DRAWER } })).toEqual({
      leftOut: 'number-of-home-unknown',
      detail: null,
    });
  });
});

describe('what it costs new', () => {
  const known = make({ replacement: { minor: 10_050, currency: 'EUR' } });

  test('is raised by a share of what it was, and put back as that amount', () => {
    expect(decideEdit(known, { value: { to: { permille: 50 }, ...price } })).toMatchObject({
      edited: {
        // 100.50 raised by 5 % is 105.525, half a cent up.
        value: { amountMinor: 10_553, currency: 'EUR', ...price },
        changes: [{ fact: 'value', before: { minor: 10_050 }, after: { minor: 10_553 } }],
        back: { value: { to: { minor: 10_050, currency: 'EUR' }, onDate: '2026-11-25' } },
      },
    });
  });

  test('cannot be raised where nothing is known, and is never more than can be kept', () => {
    expect(decideEdit(make(), { value: { to: { permille: 50 }, ...price } })).toEqual({
      leftOut: 'no-value-known',
      detail: null,
    });
    const dear = make({ replacement: { minor: 8_999_999_999_999, currency: 'EUR' } });
    expect(decideEdit(dear, { value: { to: { permille: 10_000 }, ...price } })).toMatchObject({
      leftOut: 'contradiction',
    });
  });

  test('a newer date for the same amount is a change', () => {
    expect(decideEdit(known, { value: { to: { permille: 0 }, ...price } })).toMatchObject({
      edited: { value: { amountMinor: 10_050, onDate: '2026-11-25' } },
    });
  });

  test('a first value has no way back, because values are only ever added', () => {
    const decision = decideEdit(make(), { value: { to: { minor: 900, currency: 'EUR' }, ...price } });
    expect(decision).toMatchObject({ edited: { back: {} } });
    expect('edited' in decision && decision.edited.back).toEqual({});
  });

  test('is rounded half up in whole minor units, also where the product is beyond what a number holds exactly', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 9_000_000_000_000 }),
        fc.integer({ min: -999, max: 10_000 }),
        (minor, permille) => {
          const exact = (BigInt(minor) * BigInt(1_000 + permille) + 500n) / 1_000n;
          expect(BigInt(changeAmount(minor, permille))).toBe(exact);
        },
      ),
    );
  });
});
