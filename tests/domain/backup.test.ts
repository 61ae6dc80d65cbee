// What backup files are called, which ones may go, when one is due, and when the desk warns.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  backupNameOf,
  backupStandingOf,
  chooseOldBackups,
  isBackupDue,
  KEPT_DAYS,
  readBackupName,
  slugOf,
} from '#domain/backup.ts';

const DAY = 86_400_000;
const HOUR = 3_600_000;
const T = Date.UTC(2026, 4, 4, 12);

describe('names', () => {
  test('a name says whose and when, in the basic format of ISO 8601', () => {
    expect(backupNameOf('Reed & Mud Films', T)).toBe('tailcount-reed-mud-films-20260504T120000Z.zip');
    expect(slugOf('Ñandú 湿地 Трос')).toBe('ñandú-湿地-трос');
    expect(slugOf('… / \\ ..')).toBe('outfit');
  });

  test('whatever an outfit is called, its files are known again, and nobody else’s are', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'grapheme', maxLength: 80 }),
        fc.string({ unit: 'grapheme', maxLength: 80 }),
        fc.integer({ min: 0, max: 4_102_444_800 }),
        (outfit, other, seconds) => {
          const name = backupNameOf(outfit, seconds * 1_000);
          expect(name).not.toMatch(/[/\\\0:*?"<>|]/);
          expect(readBackupName(name, outfit)).toBe(seconds * 1_000);
          // Some file systems keep accents apart from their letters.
          expect(readBackupName(name.normalize('NFD'), outfit)).toBe(seconds * 1_000);
          if (slugOf(other) !== slugOf(outfit)) expect(readBackupName(name, other)).toBeNull();
        },
      ),
    );
  });

  test('a file with a day that there is not, or with more to its name, is none of ours', () => {
    for (const name of [
      'tailcount-reed-20261399T120000Z.zip',
      'tailcount-reed-20260504T120000Z.zip.broken',
      'my tailcount-reed-20260504T120000Z.zip',
      'tailcount-reed-20260504.zip',
    ])
      expect(readBackupName(name, 'Reed'), name).toBeNull();
  });
});

test('what may go is ours, is older than everything that stays, and fourteen days stay', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 60 * 24 })), (hours) => {
      const names = [...new Set(hours)].map((hour) => backupNameOf('Reed', T + hour * HOUR));
      const strangers = [backupNameOf('Reed two', T - 400 * DAY), 'notes.txt'];
      const old = chooseOldBackups([...strangers, ...names], 'Reed');
      const kept = names.filter((name) => !old.includes(name));
      const dayOf = (name: string) => Math.floor((readBackupName(name, 'Reed') ?? Number.NaN) / DAY);
      const days = new Set(names.map(dayOf));
      expect(new Set(kept.map(dayOf)).size).toBe(Math.min(KEPT_DAYS, days.size));
      for (const gone of old) {
        expect(names).toContain(gone);
        expect(dayOf(gone)).toBeLessThan(Math.min(...kept.map(dayOf)));
      }
    }),
  );
});

describe('when one is due', () => {
  const day = { zone: 'Europe/Lisbon', dayTurnsMinutes: 300 };
  test.each([
    ['never made', { lastGoodAt: null, lastTriedAt: null }, true],
    ['made this working day', { lastGoodAt: T - 5 * HOUR, lastTriedAt: T - 5 * HOUR }, false],
    [
      'made in the night before the day turned',
      { lastGoodAt: T - 9 * HOUR, lastTriedAt: T - 9 * HOUR },
      true,
    ],
    ['went wrong half an hour ago', { lastGoodAt: T - DAY, lastTriedAt: T - HOUR / 2 }, false],
    ['went wrong an hour ago', { lastGoodAt: T - DAY, lastTriedAt: T - HOUR }, true],
    [
      'made tomorrow, by a clock that was set back since',
      { lastGoodAt: T + DAY, lastTriedAt: T + DAY },
      true,
    ],
  ])('%s', (_name, times, due) => {
    expect(isBackupDue({ ...times, ...day, now: T })).toBe(due);
  });
});

test('the desk warns of what went wrong first, then of age from the seventh day on', () => {
  const standing = (lastGoodAt: number | null, lastFailed = false, keptSince = T - 30 * DAY) =>
    backupStandingOf({ lastGoodAt, lastFailed, keptSince, now: T });
  expect(standing(T - 7 * DAY + 1)).toBe('good');
  expect(standing(T - 7 * DAY)).toBe('old');
  expect(standing(T, true)).toBe('trouble');
  expect(standing(null)).toBe('none');
  expect(standing(null, false, T - 7 * DAY + 1)).toBe('new');
});
