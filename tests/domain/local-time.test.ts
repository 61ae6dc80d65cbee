// A time as it is typed against the instant that it is, over the days on which clocks change.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { instantAt, localTimeAt } from '#domain/local-time.ts';

const utc = (text: string) => Date.parse(text);

describe('a time on the wall of a zone', () => {
  // Directive 2000/84/EC, articles 2 and 3: summer time in the Union begins and ends at 01:00 UTC on the last Sundays of
  // March and October; in 2026 those are the 29th and the 25th.
  test.each([
    ['2026-03-29T00:59', 'Europe/Lisbon', '2026-03-29T00:59:00Z'],
    ['2026-03-29T02:00', 'Europe/Lisbon', '2026-03-29T01:00:00Z'],
    ['2026-10-25T00:59', 'Europe/Lisbon', '2026-10-24T23:59:00Z'],
    ['2026-10-25T02:00', 'Europe/Lisbon', '2026-10-25T02:00:00Z'],
    ['2026-06-12T23:40', 'Europe/Berlin', '2026-06-12T21:40:00Z'],
    ['2026-12-12T23:40', 'Europe/Berlin', '2026-12-12T22:40:00Z'],
    ['2026-06-12T23:40', 'UTC', '2026-06-12T23:40:00Z'],
  ])('%s in %s is %s', (text, zone, instant) => {
    expect(instantAt(text, zone)).toBe(utc(instant));
    expect(localTimeAt(utc(instant), zone)).toBe(text);
  });

  test('a time that the clocks skip is the moment they do, a time they read twice is the first', () => {
    expect(instantAt('2026-03-29T01:30', 'Europe/Lisbon')).toBe(utc('2026-03-29T01:00:00Z'));
    expect(instantAt('2026-10-25T01:30', 'Europe/Lisbon')).toBe(utc('2026-10-25T00:30:00Z'));
  });

  test('what is no time is none', () => {
    for (const text of [
      '',
      'soon',
      '2026-02-30T10:00',
      '2026-01-01T24:00',
      '2026-01-01',
      '2026-01-01T10:00:00',
    ])
      expect(instantAt(text, 'UTC')).toBeNull();
  });

  test('a zone that this device does not know reads as UTC', () => {
    expect(instantAt('2026-06-12T23:40', 'Nowhere/Else')).toBe(utc('2026-06-12T23:40:00Z'));
    expect(localTimeAt(utc('2026-06-12T23:40:00Z'), 'Nowhere/Else')).toBe('2026-06-12T23:40');
  });

  test('what is read and typed again is the same minute, but where clocks read it twice', () => {
    const instants = fc.integer({ min: utc('2000-01-01T00:00:00Z'), max: utc('2037-01-01T00:00:00Z') });
    const zones = fc.constantFrom('Europe/Lisbon', 'Asia/Kolkata', 'America/St_Johns', 'Pacific/Apia', 'UTC');
    fc.assert(
      fc.property(instants, zones, (at, zone) => {
        const text = localTimeAt(at, zone);
        const again = instantAt(text, zone);
        expect(again).not.toBeNull();
        expect(localTimeAt(again ?? 0, zone)).toBe(text);
        expect(again ?? Number.POSITIVE_INFINITY).toBeLessThanOrEqual(at);
      }),
      { numRuns: 300 },
    );
  });
});
