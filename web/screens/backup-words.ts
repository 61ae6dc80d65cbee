// The desk's words for how it stands with the backups.
import { type BackupFile, type BackupState, WARN_DAYS } from '#domain/backup.ts';

/** What became of a file, in a word or two. */
export function wordOfOutcome(outcome: BackupFile['outcome']): string {
  if (outcome === null) return 'not known here';
  const words: Readonly<Record<NonNullable<BackupFile['outcome']>, string>> = {
    good: 'restored and compared',
    'not-checked': 'read back only',
    broken: 'broken',
    failed: 'check not finished',
  };
  return words[outcome];
}

function daysInWords(days: number): string {
  return days === 1 ? '1 day' : `${days} days`;
}

/** How old something is, in the largest unit that fits, as people here say it: "3 hours ago". */
export function showAge(at: number, now: number): string {
  const minutes = Math.max(0, Math.floor((now - at) / 60_000));
  const format = new Intl.RelativeTimeFormat(undefined, { numeric: 'always' });
  if (minutes < 1) return 'just now';
  if (minutes < 60) return format.format(-minutes, 'minute');
  if (minutes < 48 * 60) return format.format(-Math.floor(minutes / 60), 'hour');
  return format.format(-Math.floor(minutes / 1_440), 'day');
}

const UNITS = ['byte', 'kilobyte', 'megabyte', 'gigabyte', 'terabyte'] as const;

/** A size in the decimal units of IEC 80000-13, one digit behind the point from a kilobyte on. */
export function showBytes(bytes: number): string {
  const step = Math.min(UNITS.length - 1, Math.max(0, Math.floor(Math.log10(Math.max(1, bytes)) / 3)));
  return new Intl.NumberFormat(undefined, {
    style: 'unit',
    unit: UNITS[step] ?? 'byte',
    unitDisplay: 'short',
    minimumFractionDigits: step === 0 ? 0 : 1,
    maximumFractionDigits: step === 0 ? 0 : 1,
  }).format(bytes / 1_000 ** step);
}

/** The one sentence of the frame; null while nothing is to be said. */
export function warningOf(state: BackupState): string | null {
  if (state.standing === 'trouble')
    return state.lastGoodDays === null
      ? 'The last backup went wrong, and there is no good one yet.'
      : `The last backup went wrong. The last good one is ${state.lastGoodDays === 0 ? 'less than a day' : daysInWords(state.lastGoodDays)} old.`;
  if (state.standing === 'old' && state.lastGoodDays !== null)
    return `The last good backup is ${daysInWords(state.lastGoodDays)} old.`;
  if (state.standing === 'none')
    return `Nothing of this outfit is kept anywhere but on this machine, for over ${WARN_DAYS} days.`;
  return null;
}
