// Backup files: what they are called, when the next one is due, which ones may go, and what the desk is told of them.
import { z } from 'zod';
import { workingDayBeganAt } from './working-day.ts';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
/** From this age on the desk warns. */
export const WARN_DAYS = 7;
/** As many days keep their files in the folder. */
export const KEPT_DAYS = 14;
const OUTFIT_CHARS_MAX = 40;

/** What became of a file: `not-checked` was written and read back, but could not be tried out in a database. */
export const backupOutcomeSchema = z.enum(['good', 'not-checked', 'broken', 'failed']);
export type BackupOutcome = z.infer<typeof backupOutcomeSchema>;

export const backupFileSchema = z.strictObject({
  name: z.string(),
  bytes: z.int(),
  /** When what is in it was so, UTC ms. */
  at: z.int(),
  /** Null: this database does not know, as after a restore. */
  outcome: backupOutcomeSchema.nullable(),
});
export type BackupFile = z.infer<typeof backupFileSchema>;

/** How it stands with the backups; `new` is an outfit younger than WARN_DAYS without any. */
export const backupStandingSchema = z.enum(['good', 'new', 'old', 'none', 'trouble']);
export type BackupStanding = z.infer<typeof backupStandingSchema>;

export const backupStateSchema = z.strictObject({
  folder: z.string().nullable(),
  /** Why nothing can be written to the folder just now, in words. */
  folderTrouble: z.string().nullable(),
  standing: backupStandingSchema,
  lastGoodAt: z.int().nullable(),
  /** Whole days since then. */
  lastGoodDays: z.int().nullable(),
  lastTriedAt: z.int().nullable(),
  /** What was wrong with the last one, in words; null when nothing was. */
  lastTrouble: z.string().nullable(),
  running: z.strictObject({ step: z.enum(['writing', 'checking']), done: z.int(), all: z.int() }).nullable(),
  /** Of this outfit, newest first. */
  files: z.array(backupFileSchema),
});
export type BackupState = z.infer<typeof backupStateSchema>;

export type BackupRefusal =
  | { readonly kind: 'folder-unusable'; readonly detail: string }
  | { readonly kind: 'no-backup-folder' }
  | { readonly kind: 'backup-running' };

/**
 * The outfit's part of a file name: letters and digits of any script in lower case, everything else one dash; at most
 * 40 characters; "outfit" when nothing is left.
 */
export function slugOf(outfit: string): string {
  const words =
    outfit
      .normalize('NFC')
      .toLowerCase()
      .match(/[\p{L}\p{M}\p{N}]+/gu) ?? [];
  const slug = [...words.join('-')].slice(0, OUTFIT_CHARS_MAX).join('').replace(/-$/, '');
  return slug === '' ? 'outfit' : slug;
}

/** The name of the file that holds `outfit` as it was at `at` (UTC ms, to the second). Source: ISO 8601 basic format. */
export function backupNameOf(outfit: string, at: number): string {
  const stamp = new Date(at).toISOString().replace(/[-:]|\.\d+/g, '');
  return `tailcount-${slugOf(outfit)}-${stamp}.zip`;
}

/** When a file of this name was made, UTC ms; null when it is no backup of this outfit by its name. */
export function readBackupName(name: string, outfit: string): number | null {
  const prefix = `tailcount-${slugOf(outfit)}-`;
  const normal = name.normalize('NFC');
  if (!normal.startsWith(prefix)) return null;
  const found = /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z\.zip$/.exec(normal.slice(prefix.length));
  if (found === null) return null;
  const [, year, month, day, hour, minute, second] = found;
  const at = Date.parse(`${year}-${month}-${day}T${hour}:${minute}:${second}Z`);
  return Number.isNaN(at) ? null : at;
}

/**
 * The names that may be deleted: backups of this outfit, by their name, made on a day (UTC) that is not among the
 * newest `KEPT_DAYS` days on which there is one. Everything else in the folder stays.
 */
export function chooseOldBackups(names: readonly string[], outfit: string): readonly string[] {
  const ours = names.flatMap((name) => {
    const at = readBackupName(name, outfit);
    return at === null ? [] : [{ name, day: Math.floor(at / DAY_MS) }];
  });
  const days = [...new Set(ours.map(({ day }) => day))].sort((a, b) => b - a);
  const kept = new Set(days.slice(0, KEPT_DAYS));
  return ours.filter(({ day }) => !kept.has(day)).map(({ name }) => name);
}

export interface BackupTimes {
  /** All UTC ms; null: never. */
  readonly lastGoodAt: number | null;
  readonly lastTriedAt: number | null;
  readonly now: number;
  /** A zone that this device knows. */
  readonly zone: string;
  readonly dayTurnsMinutes: number;
}

/**
 * Whether the day's backup is to be made now: there is no good one of this working day, and none went wrong within the
 * hour. A laptop sleeps at night, so the first chance of the day is taken, not an hour of the clock; a clock that was set
 * back does not hold it up.
 */
export function isBackupDue({ lastGoodAt, lastTriedAt, now, zone, dayTurnsMinutes }: BackupTimes): boolean {
  const began = workingDayBeganAt(now, zone, dayTurnsMinutes);
  const isDone = lastGoodAt !== null && lastGoodAt >= began && lastGoodAt <= now;
  const hasFailed = lastTriedAt !== null && lastTriedAt > (lastGoodAt ?? Number.NEGATIVE_INFINITY);
  const wasJustTried = hasFailed && lastTriedAt > now - HOUR_MS && lastTriedAt <= now;
  return !isDone && !wasJustTried;
}

/** Whole days from `since` to `now` (UTC ms), rounded down, never negative. */
export function daysSince(since: number, now: number): number {
  return Math.max(0, Math.floor((now - since) / DAY_MS));
}

/**
 * How it stands with the backups. `keptSince`: when this database was made. In this order: the last one went wrong ·
 * there was none in seven days · the last good one is seven days old or older · there was none yet.
 */
export function backupStandingOf(facts: {
  readonly lastGoodAt: number | null;
  readonly lastFailed: boolean;
  readonly keptSince: number;
  readonly now: number;
}): BackupStanding {
  const { lastGoodAt, lastFailed, keptSince, now } = facts;
  if (lastFailed) return 'trouble';
  if (lastGoodAt === null) return daysSince(keptSince, now) >= WARN_DAYS ? 'none' : 'new';
  return daysSince(lastGoodAt, now) >= WARN_DAYS ? 'old' : 'good';
}
