// Makes the day's backup at the first chance of the day. Of several processes on one database one makes it.
import { isBackupDue } from '#domain/backup.ts';
import { firstKnownZone } from '#domain/working-day.ts';
import { readOutfit } from '../outfit/store.ts';
import { type BackupDeps, type Begun, beginBackup } from './back-up.ts';
import { readFolder, readLastGoodAt, readRuns } from './store.ts';

const LOOK_EVERY_MS = 5 * 60_000;

/** Makes the backup of the day if it is due and a folder is named; null when there is nothing to do. */
export async function backUpIfDue(deps: BackupDeps): Promise<Begun | null> {
  const { sql } = deps.connections;
  const [outfit, folder] = await Promise.all([readOutfit(sql), readFolder(sql)]);
  if (outfit === null || folder === null) return null;
  const [lastGoodAt, [last]] = await Promise.all([readLastGoodAt(sql), readRuns(sql, 1)]);
  const times = { lastGoodAt, lastTriedAt: last?.startedAt ?? null, now: deps.clock() };
  const day = { zone: firstKnownZone([outfit.zone]), dayTurnsMinutes: outfit.dayTurnsMinutes };
  if (!isBackupDue({ ...times, ...day })) return null;
  const begun = await beginBackup(deps);
  return 'refusal' in begun ? null : begun;
}

/** Looks every few minutes whether the day's backup is due. The returned function ends that. */
export function startDailyBackups(deps: BackupDeps): () => Promise<void> {
  let looking = false;
  const look = async (): Promise<void> => {
    if (looking) return;
    looking = true;
    try {
      await (await backUpIfDue(deps))?.finished;
    } catch (error) {
      deps.log.warn({ err: error }, 'whether a backup is due could not be found out just now');
    } finally {
      looking = false;
    }
  };
  const timer = setInterval(() => void look(), LOOK_EVERY_MS);
  // The first look waits until the start is over, and a second one only for the day.
  const first = setTimeout(() => void look(), LOOK_EVERY_MS / 10);
  return async () => {
    clearInterval(timer);
    clearTimeout(first);
  };
}
