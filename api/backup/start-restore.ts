// `npm start -- --restore FILE`: fills an empty database before the service is put together, and a start after one that was
// cut short says so instead of opening on an empty outfit.
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import postgres from 'postgres';
import { migrate } from '../database/migrate.ts';
import type { Prepare } from '../database/open-database.ts';
import { UnusableBackup } from './file-format.ts';
import { type Backup, openBackup, refuseDamaged } from './read-file.ts';
import { readHolder, refuseNewerSchema, restoreInto } from './restore.ts';
import type { OnProgress } from './write-file.ts';

const NOTE = 'restoring';
const SAY_EVERY_MS = 5_000;

type Say = (line: string) => void;

async function findHolder(url: string): Promise<string | null> {
  const sql = postgres(url, { max: 1, onnotice: () => {} });
  try {
    return await readHolder(sql);
  } finally {
    await sql.end({ timeout: 5 });
  }
}

/** A restore is one transaction: the database is empty after one that was cut short, or holds everything. */
function prepareUnlessCutShort(note: string): Prepare {
  return async (url) => {
    await migrate(url);
    if (!existsSync(note)) return;
    if ((await findHolder(url)) === null)
      throw new UnusableBackup(
        `A restore was cut short here, and nothing was restored yet. Begin it again: npm start -- --restore ${readFileSync(note, 'utf8').trim()} ` +
          `(to begin without that file instead, delete ${note} first).`,
      );
    rmSync(note, { force: true });
  };
}

function makeTeller(say: Say): OnProgress {
  let saidAt = performance.now();
  return (done, all) => {
    if (performance.now() - saidAt < SAY_EVERY_MS) return;
    saidAt = performance.now();
    say(`${done.toLocaleString('en')} of ${all.toLocaleString('en')} rows …`);
  };
}

function prepareWith(backup: Backup, note: string, say: Say): Prepare {
  return async (url) => {
    writeFileSync(note, `${backup.path}\n`);
    try {
      say(`Restoring ${backup.manifest.outfit} as it was at ${backup.manifest.madeAt} …`);
      const mended = await restoreInto(url, backup, makeTeller(say));
      if (mended > 0) say(`Where ${mended} things are was made anew from the ledger.`);
      say(`Restored: ${backup.manifest.outfit}, whole.`);
    } finally {
      // A kill leaves the note behind; a refusal has said by itself what to do.
      rmSync(note, { force: true });
      backup.close();
    }
  };
}

/**
 * What to do with the database before it is used: load the backup file at `path`, else only look whether a restore was
 * cut short. The whole file is read and compared with its checksums first, before anything is made. Throws
 * `UnusableBackup` when it cannot be used.
 */
export async function prepareRestore(
  path: string | undefined,
  dataFolder: string,
  say: Say,
): Promise<Prepare> {
  const note = join(dataFolder, NOTE);
  if (path === undefined) return prepareUnlessCutShort(note);
  const backup = await openBackup(path);
  try {
    refuseNewerSchema(backup);
    say(`Reading ${path} …`);
    await refuseDamaged(backup);
  } catch (error) {
    backup.close();
    throw error;
  }
  return prepareWith(backup, note, say);
}
