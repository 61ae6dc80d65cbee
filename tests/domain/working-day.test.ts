import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { firstKnownZone, workingDayBeganAt, zoneIsKnown } from '#domain/working-day.ts';

const FIVE = 300;
const utc = (text: string) => Date.parse(text);
const iso = (at: number) => new Date(at).toISOString();
const began = (at: string, zone: string, turns = FIVE) => iso(workingDayBeganAt(utc(at), zone, turns));

describe('the working day turns at five in the morning of the stop', () => {
  test('at twenty past midnight the working day is still the one of the evening before', () => {
    expect(began('2026-06-12T23:20:00Z', 'Europe/Lisbon')).toBe('2026-06-12T04:00:00.000Z');
  });

  test('one millisecond before five is yesterday, five itself is today', () => {
    expect(began('2026-06-13T03:59:59.999Z', 'Europe/Lisbon')).toBe('2026-06-12T04:00:00.000Z');
    expect(began('2026-06-13T04:00:00.000Z', 'Europe/Lisbon')).toBe('2026-06-13T04:00:00.000Z');
  });

  test('the turn is a setting, from midnight to the last minute', () => {
    expect(began('2026-01-10T12:00:00Z', 'UTC', 0)).toBe('2026-01-10T00:00:00.000Z');
    expect(began('2026-01-10T12:00:00Z', 'UTC', 1_439)).toBe('2026-01-09T23:59:00.000Z');
  });

  // tzdata `asia`: "Zone Asia/Kathmandu … 5:45 - +0545" (since 1986).
  test('a zone three quarters of an hour off the hour turns at its own five', () => {
    expect(began('2026-03-01T12:00:00Z', 'Asia/Kathmandu')).toBe('2026-02-28T23:15:00.000Z');
  });

  // tzdata `australasia`: "Zone Pacific/Kiritimati … 14:00 - +14"; `australasia`: Pacific/Pago_Pago "-11:00 - SST".
  test('the two edges of the map hold different working days at one instant', () => {
    expect(began('2026-03-01T15:30:00Z', 'Pacific/Kiritimati')).toBe('2026-03-01T15:00:00.000Z');
    expect(began('2026-03-01T15:30:00Z', 'Pacific/Pago_Pago')).toBe('2026-02-28T16:00:00.000Z');
  });

  // tzdata `australasia`: Pacific/Chatham, "12:45 Chatham +1245/+1345"; rule Chatham 2008+: Apr Sun>=1 2:45s.
  test('Chatham keeps five o’clock over its change by one hour at 3:45', () => {
    expect(began('2026-04-04T20:00:00Z', 'Pacific/Chatham')).toBe('2026-04-04T16:15:00.000Z');
    expect(began('2026-04-04T10:00:00Z', 'Pacific/Chatham')).toBe('2026-04-03T15:15:00.000Z');
  });
});

// tzdata `europe`, rule EU: Mar lastSun 1:00u +1:00, Oct lastSun 1:00u 0. In 2026: 29 March, 25 October.
describe('days on which clocks change (rule EU of tzdata)', () => {
  test('in spring the working day before the change is 23 hours long', () => {
    expect(began('2026-03-29T02:59:59Z', 'Europe/Berlin')).toBe('2026-03-28T04:00:00.000Z');
    expect(began('2026-03-29T03:00:00Z', 'Europe/Berlin')).toBe('2026-03-29T03:00:00.000Z');
  });

  test('in autumn the working day before the change is 25 hours long', () => {
    expect(began('2026-10-25T03:59:59Z', 'Europe/Berlin')).toBe('2026-10-24T03:00:00.000Z');
    expect(began('2026-10-25T04:00:00Z', 'Europe/Berlin')).toBe('2026-10-25T04:00:00.000Z');
  });

  test('a turn that the clocks skip happens at the end of the gap', () => {
    expect(began('2026-03-29T00:59:59.999Z', 'Europe/Berlin', 150)).toBe('2026-03-28T01:30:00.000Z');
    expect(began('2026-03-29T01:00:00Z', 'Europe/Berlin', 150)).toBe('2026-03-29T01:00:00.000Z');
  });

  test('a turn that the clocks show twice happens the first time only', () => {
    expect(began('2026-10-25T00:30:00Z', 'Europe/Berlin', 150)).toBe('2026-10-25T00:30:00.000Z');
    expect(began('2026-10-25T01:15:00Z', 'Europe/Berlin', 150)).toBe('2026-10-25T00:30:00.000Z');
    expect(began('2026-10-25T01:45:00Z', 'Europe/Berlin', 150)).toBe('2026-10-25T00:30:00.000Z');
  });

  // tzdata `australasia`: Lord_Howe "10:30 LH +1030/+11", rule LH 2008+: Apr Sun>=1 2:00 0, Oct Sun>=1 2:00 0:30.
  test('a change by half an hour is followed', () => {
    expect(began('2026-10-03T19:00:00Z', 'Australia/Lord_Howe')).toBe('2026-10-03T18:00:00.000Z');
    expect(began('2026-10-03T15:30:00Z', 'Australia/Lord_Howe', 135)).toBe('2026-10-03T15:30:00.000Z');
  });

  // tzdata `northamerica`, rule StJohns 2007–2011: Nov Sun>=1 0:01 0: at one past midnight back to 23:01.
  test('where clocks go back over midnight the new day has begun while they read yesterday', () => {
    expect(began('2010-11-07T02:31:00Z', 'America/St_Johns', 0)).toBe('2010-11-07T02:30:00.000Z');
    expect(began('2010-11-07T03:15:00Z', 'America/St_Johns', 0)).toBe('2010-11-07T02:30:00.000Z');
  });

  // tzdata `australasia`: Pacific/Apia "-11:00 WS … 2011 Dec 29 24:00; 13:00 WS": no 30 December 2011 there.
  test('a date that a zone left out has no turn', () => {
    expect(began('2011-12-30T12:00:00Z', 'Pacific/Apia')).toBe('2011-12-29T15:00:00.000Z');
    expect(began('2011-12-30T15:00:00Z', 'Pacific/Apia')).toBe('2011-12-30T15:00:00.000Z');
  });
});

describe('zones a device does not know', () => {
  test('are told from known ones, and the next known one serves', () => {
    expect(zoneIsKnown('Asia/Kathmandu')).toBe(true);
    expect(zoneIsKnown('Wetland/Reedbed')).toBe(false);
    expect(firstKnownZone(['Wetland/Reedbed', 'Europe/Lisbon'])).toBe('Europe/Lisbon');
    expect(firstKnownZone(['Wetland/Reedbed', ''])).toBe('UTC');
  });

  test('an unknown zone is thrown, never guessed', () => {
    expect(() => workingDayBeganAt(0, 'Wetland/Reedbed', FIVE)).toThrow(RangeError);
  });
});

describe('any instant, any zone (properties)', () => {
  const zones = fc.constantFrom(...Intl.supportedValuesOf('timeZone'));
  const instants = fc.integer({ min: utc('2000-01-01T00:00:00Z'), max: utc('2040-01-01T00:00:00Z') });
  const minutesOnTheWall = (at: number, zone: string) => {
    const text = new Date(at).toLocaleTimeString('en-GB', { timeZone: zone, hour12: false });
    const [hours, minutes] = text.split(':').map(Number);
    return (hours ?? 0) * 60 + (minutes ?? 0);
  };

  test('a day began at or before the instant, at most 49 hours ago, and it began there for its own start too', () => {
    fc.assert(
      fc.property(instants, zones, fc.integer({ min: 0, max: 1_439 }), (at, zone, turns) => {
        const start = workingDayBeganAt(at, zone, turns);
        expect(start).toBeLessThanOrEqual(at);
        expect(at - start).toBeLessThan(49 * 3_600_000);
        expect(workingDayBeganAt(start, zone, turns)).toBe(start);
        if (start < at) expect(workingDayBeganAt(start - 1, zone, turns)).toBeLessThan(start);
      }),
      { numRuns: 300 },
    );
  });

  test('the wall clock of the zone reads the turning time when it begins, but after a gap', () => {
    fc.assert(
      fc.property(instants, zones, fc.integer({ min: 0, max: 1_439 }), (at, zone, turns) => {
        const start = workingDayBeganAt(at, zone, turns);
        const read = minutesOnTheWall(start, zone);
        const skipped = minutesOnTheWall(start - 1, zone) + 1 < read;
        expect(skipped ? read > turns : read === turns).toBe(true);
      }),
      { numRuns: 300 },
    );
  });
});
