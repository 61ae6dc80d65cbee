// A job's stops as working days.
import { expect, test } from 'vitest';
import { placeIdSchema } from '#domain/ids.ts';
import { daysOfStops, workingDateOf } from '#domain/job-days.ts';
import { makeStop } from './count-making.ts';

const outfit = { dayTurnsMinutes: 300, zone: 'Europe/Lisbon' };
const placeId = placeIdSchema.parse('00000000-0000-4000-8000-00000000abcd');
const stopAt = (name: string, text: string, zone = 'Europe/Lisbon') =>
  makeStop(placeId, name, { startsAt: Date.parse(text), zone });
const gist = (stops: Parameters<typeof daysOfStops>[0]) =>
  daysOfStops(stops, outfit).map((day) => [day.date, ...day.stops.map(({ name }) => name)]);

test('a stop after midnight belongs to the evening before, until five', () => {
  const late = stopAt('Sluice by night', '2026-06-13T00:20:00Z');
  const early = stopAt('Reedbed hide', '2026-06-12T06:00:00Z');
  const morning = stopAt('Landing stage', '2026-06-13T04:30:00Z');
  expect(gist([morning, late, early])).toEqual([
    ['2026-06-12', 'Reedbed hide', 'Sluice by night'],
    ['2026-06-13', 'Landing stage'],
  ]);
});

test('five o’clock is that of the stop’s own zone', () => {
  // 23:45 UTC is 05:15 in Kolkata, and 00:45 in Lisbon.
  const at = Date.parse('2026-06-12T23:45:00Z');
  expect(workingDateOf(at, 'Asia/Kolkata', outfit)).toBe('2026-06-13');
  expect(workingDateOf(at, 'Europe/Lisbon', outfit)).toBe('2026-06-12');
  expect(workingDateOf(at, 'Nowhere/Else', outfit)).toBe('2026-06-12');
});

test('no stops, no days', () => {
  expect(daysOfStops([], outfit)).toEqual([]);
});
