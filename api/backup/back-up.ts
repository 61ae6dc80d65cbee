// Makes a backup: one process at a time writes the file, tries it out, and only then lets old ones go.
import { randomUUID } from 'node:crypto';
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import type postgres from 'postgres';
import { type BackupOutcome, type BackupRefusal, backupNameOf } from '#domain/backup.ts';
import type { Deps } from '../http/route.ts';
import { readOutfit } from '../outfit/store.ts';
import { checkBackup, dropCheckDatabase } from './check-backup.ts';
import { putWhole, removeOldBackups, sayFolderTrouble, setAside, tryFolder } from './folder.ts';
import {
  addRun,
  BACKUP_LOCK,
  endCutShort,
  endRun,
  noteCheckDatabase,
  readFolder,
  tellProgress,
} from './store.ts';
import { type OnProgress, writeBackup } from './write-file.ts';

export type BackupDeps = Pick<Deps, 'connections' | 'clock' | 'log'>;
type NoBackup = BackupRefusal | { readonly kind: 'no-outfit' };
type Run = {
  readonly id: string;
  readonly startedAt: number;
  readonly folder: string;
  readonly file: string;
  readonly outfit: string;
};
type End = {
  readonly step: BackupOutcome;
  readonly bytes: number | null;
  readonly trouble: string | null;
};

export interface Begun {
  readonly file: string;
  /** Resolves when the file is written and checked, or when that went wrong; never rejects. */
  readonly finished: Promise<End>;
}

const PROGRESS_EVERY_MS = 400;

/** Tells the database how far it is, not too often, one word after the other. */
function makeTeller(deps: BackupDeps, id: string, step: 'writing' | 'checking'): OnProgress {
  let [toldAt, telling] = [0, false];
  return (done, all) => {
    const now = performance.now();
    if (telling || now - toldAt < PROGRESS_EVERY_MS) return;
    [toldAt, telling] = [now, true];
    tellProgress(deps.connections.sql, id, { step, done, all })
      .catch((error: unknown) => deps.log.debug({ err: error }, 'the progress of a backup was not told'))
      .finally(() => {
        telling = false;
      });
  };
}

function sayFailure(run: Run, error: unknown): string {
  const isOfSystem = error instanceof Error && 'syscall' in error;
  if (isOfSystem) return sayFolderTrouble(run.folder, error);
  return `It could not be made: ${error instanceof Error ? error.message : String(error)}.`;
}

async function writeAndCheck(deps: BackupDeps, run: Run): Promise<End> {
  const { sql, url } = deps.connections;
  const path = join(run.folder, run.file);
  await putWhole(run.folder, run.file, (making) =>
    writeBackup(sql, making, { at: run.startedAt, onProgress: makeTeller(deps, run.id, 'writing') }),
  );
  const bytes = (await stat(path)).size;
  await tellProgress(sql, run.id, { step: 'checking', done: 0, all: 0 });
  const checked = await checkBackup(path, {
    ...{ sql, url },
    onDatabase: (name) => noteCheckDatabase(sql, run.id, name),
    onProgress: makeTeller(deps, run.id, 'checking'),
  });
  if (checked.kind === 'broken') {
    await setAside(run.folder, run.file);
    return { step: 'broken', bytes, trouble: checked.why };
  }
  await removeOldBackups(run.folder, run.outfit);
  return { step: checked.kind, bytes, trouble: checked.kind === 'good' ? null : checked.why };
}

async function finish(deps: BackupDeps, run: Run, release: () => Promise<void>): Promise<End> {
  const end = await writeAndCheck(deps, run).catch((error: unknown): End => {
    deps.log.warn({ err: error }, 'a backup could not be made');
    return { step: 'failed', bytes: null, trouble: sayFailure(run, error) };
  });
  try {
    await endRun(deps.connections.sql, run.id, { ...end, at: deps.clock() });
    await release();
  } catch (error) {
    // The database is away: the next run finds this one open and says that it was cut short.
    deps.log.warn({ err: error }, 'what became of a backup could not be written down');
  }
  return end;
}

/** Takes the lock on a connection of its own; null when another process has it. */
async function takeLock(sql: postgres.Sql): Promise<(() => Promise<void>) | null> {
  const own = await sql.reserve();
  const [row] = await own<{ taken: boolean }[]>`select pg_try_advisory_lock(${BACKUP_LOCK}) as taken`;
  if (!row?.taken) {
    own.release();
    return null;
  }
  return async () => {
    try {
      await own`select pg_advisory_unlock(${BACKUP_LOCK})`;
    } finally {
      own.release();
    }
  };
}

async function prepareRun(deps: BackupDeps): Promise<Run | { readonly refusal: NoBackup }> {
  const { sql } = deps.connections;
  const outfit = await readOutfit(sql);
  if (outfit === null) return { refusal: { kind: 'no-outfit' } };
  const folder = await readFolder(sql);
  if (folder === null) return { refusal: { kind: 'no-backup-folder' } };
  const detail = await tryFolder(folder);
  const startedAt = deps.clock();
  const run = { id: randomUUID(), startedAt, folder, outfit: outfit.name };
  const file = backupNameOf(outfit.name, startedAt);
  if (detail === null) return { ...run, file };
  // Tried and failed: the desk says so until one succeeds.
  await addRun(sql, { ...run, file });
  await endRun(sql, run.id, { step: 'failed', at: startedAt, bytes: null, trouble: detail });
  return { refusal: { kind: 'folder-unusable', detail } };
}

/**
 * Begins a backup, and answers at once; `finished` says what became of it. Refuses in this order: one is being made ·
 * there is no outfit · no folder is named · the folder cannot be used.
 */
export async function beginBackup(deps: BackupDeps): Promise<Begun | { readonly refusal: NoBackup }> {
  const { sql } = deps.connections;
  const release = await takeLock(sql);
  if (release === null) return { refusal: { kind: 'backup-running' } };
  try {
    for (const name of await endCutShort(sql, deps.clock())) await dropCheckDatabase(sql, name);
    const run = await prepareRun(deps);
    if ('refusal' in run) {
      await release();
      return run;
    }
    await addRun(sql, run);
    return { file: run.file, finished: finish(deps, run, release) };
  } catch (error) {
    await release().catch(() => {});
    throw error;
  }
}
