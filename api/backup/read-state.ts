// How it stands with the backups, for the desk.
import type postgres from 'postgres';
import { type BackupState, backupOutcomeSchema, backupStandingOf, daysSince } from '#domain/backup.ts';
import { readOutfit } from '../outfit/store.ts';
import { findFolderTrouble, listBackups } from './folder.ts';
import { isRunning, type Run, readFolder, readKeptSince, readLastGoodAt, readRuns } from './store.ts';

const RUNS_SHOWN = 200;

function runningOf(run: Run | undefined, isHeld: boolean): BackupState['running'] {
  if (!isHeld || run === undefined) return null;
  if (run.step !== 'writing' && run.step !== 'checking') return null;
  return { step: run.step, done: run.rowsDone, all: run.rowsAll };
}

/** A run that is open and that nobody works on any more was cut short. */
function troubleOf(run: Run | undefined, isHeld: boolean): string | null {
  const isOpen = run?.step === 'writing' || run?.step === 'checking';
  if (isOpen && !isHeld) return 'It was cut short, because the service or its database was stopped.';
  return run?.trouble ?? null;
}

/** The state at `now` (UTC ms). Looks into the folder itself, so a stick that was pulled out shows at once. */
export async function readBackupState(sql: postgres.Sql, now: number): Promise<BackupState> {
  const [runs, isHeld, folder] = await Promise.all([
    readRuns(sql, RUNS_SHOWN),
    isRunning(sql),
    readFolder(sql),
  ]);
  const [lastGoodAt, keptSince, outfit] = await Promise.all([
    readLastGoodAt(sql),
    readKeptSince(sql),
    readOutfit(sql),
  ]);
  const [last] = runs;
  const running = runningOf(last, isHeld);
  const ended = running === null ? last : runs[1];
  const lastTrouble = troubleOf(ended, isHeld && running === null);
  const outcomes = new Map(runs.map((run) => [`${run.folder}\n${run.file}`, run.step]));
  const files = folder === null || outfit === null ? [] : await listBackups(folder, outfit.name);
  return {
    folder,
    folderTrouble: folder === null ? null : await findFolderTrouble(folder),
    standing: backupStandingOf({
      ...{ lastGoodAt, keptSince, now },
      lastFailed: lastTrouble !== null && ended?.step !== 'not-checked',
    }),
    lastGoodAt,
    lastGoodDays: lastGoodAt === null ? null : daysSince(lastGoodAt, now),
    lastTriedAt: ended?.startedAt ?? null,
    lastTrouble,
    running,
    files: files.map((file) => {
      const outcome = backupOutcomeSchema.safeParse(outcomes.get(`${folder}\n${file.name}`));
      return { ...file, outcome: outcome.success ? outcome.data : null };
    }),
  };
}
