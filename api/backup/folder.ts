// The folder that the owner named: whether it can be used, what of ours is in it, and putting a file there whole.
import { randomBytes } from 'node:crypto';
import { constants } from 'node:fs';
import { access, open, readdir, rename, rm, stat } from 'node:fs/promises';
import { isAbsolute, join } from 'node:path';
import { type BackupFile, chooseOldBackups, readBackupName } from '#domain/backup.ts';

/** A file that is being written; it gets its name when it is whole. */
const MAKING = '.making';
/** What is put behind the name of a file that did not pass its check. */
const BROKEN = '.broken';

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

/** What a failure of the file system means to the owner, and what to do. */
export function sayFolderTrouble(folder: string, error: unknown): string {
  const sentences: Readonly<Record<string, string>> = {
    ENOENT: `The folder ${folder} is not there. Put the stick or the disk back in, or name another folder.`,
    ENOTDIR: `${folder} is a file, not a folder. Name a folder.`,
    EACCES: `Tailcount may not write to ${folder}. Give its account the right to, or name another folder.`,
    EPERM: `Tailcount may not write to ${folder}. Give its account the right to, or name another folder.`,
    EROFS: `${folder} can only be read, as a stick with its switch on does. Unlock it, or name another folder.`,
    ENOSPC: `There is no room left in ${folder}. Take away what is not needed there, or name another folder.`,
    EDQUOT: `There is no room left in ${folder}. Take away what is not needed there, or name another folder.`,
    EFBIG: `${folder} does not take a file of that size. Format the stick with another file system, or name another folder.`,
    EIO: `The disk or stick with ${folder} does not read or write properly any more. Take another one.`,
    ENAMETOOLONG: 'The name of that folder is too long for this machine. Name another one.',
  };
  const known = sentences[codeOf(error)];
  return known ?? `The folder ${folder} cannot be used: ${error instanceof Error ? error.message : error}.`;
}

async function tryToWrite(folder: string): Promise<void> {
  const probe = join(folder, `.tailcount-${randomBytes(6).toString('hex')}${MAKING}`);
  const file = await open(probe, 'wx');
  await file.close();
  await rm(probe);
}

/** Why nothing can be written to this folder, in words; null when, as far as one can see without writing, it can. */
export async function findFolderTrouble(folder: string): Promise<string | null> {
  if (folder.includes('\0')) return 'There is no folder of that name. Name another one.';
  if (!isAbsolute(folder))
    return 'Name the folder from the top of the disk, such as /media/stick/backups: a path from there is the same for everybody.';
  try {
    if (!(await stat(folder)).isDirectory()) return `${folder} is a file, not a folder. Name a folder.`;
    await access(folder, constants.R_OK | constants.W_OK);
    return null;
  } catch (error) {
    return sayFolderTrouble(folder, error);
  }
}

/** The same, and a small file was written there and taken away again. */
export async function tryFolder(folder: string): Promise<string | null> {
  const trouble = await findFolderTrouble(folder);
  if (trouble !== null) return trouble;
  try {
    await tryToWrite(folder);
    return null;
  } catch (error) {
    return sayFolderTrouble(folder, error);
  }
}

/** This outfit's files in the folder, newest first; empty when the folder cannot be read. What became of them is unknown here. */
export async function listBackups(
  folder: string,
  outfit: string,
): Promise<readonly Omit<BackupFile, 'outcome'>[]> {
  const names = await readdir(folder).catch(() => []);
  const files = await Promise.all(
    names.map(async (name) => {
      const at = readBackupName(name, outfit);
      const facts = at === null ? null : await stat(join(folder, name)).catch(() => null);
      return at === null || !facts?.isFile() ? [] : [{ name, bytes: facts.size, at }];
    }),
  );
  return files.flat().sort((a, b) => b.at - a.at || (a.name < b.name ? 1 : -1));
}

async function syncFolder(folder: string): Promise<void> {
  // Windows has no such thing as a folder that is opened.
  const handle = await open(folder, 'r').catch(() => null);
  await handle?.sync().catch(() => {});
  await handle?.close();
}

/** Calls `write` with the path of a new file, and gives the file its name when it is whole and on disk. */
export async function putWhole<T>(
  folder: string,
  name: string,
  write: (path: string) => Promise<T>,
): Promise<T> {
  const making = join(folder, `.${name}${MAKING}`);
  await rm(making, { force: true });
  try {
    const written = await write(making);
    await rename(making, join(folder, name));
    await syncFolder(folder);
    return written;
  } catch (error) {
    await rm(making, { force: true }).catch(() => {});
    throw error;
  }
}

/** Takes its name from a file that did not pass, so that nobody relies on it. */
export async function setAside(folder: string, name: string): Promise<void> {
  await rename(join(folder, name), join(folder, name + BROKEN));
}

function isLeftover(name: string, outfit: string): boolean {
  const ours = (text: string) => readBackupName(text, outfit) !== null;
  if (name.endsWith(BROKEN)) return ours(name.slice(0, -BROKEN.length));
  return name.startsWith('.') && name.endsWith(MAKING) && ours(name.slice(1, -MAKING.length));
}

/** Deletes what a newer good file has made needless: this outfit's old days, files that were cut short or did not pass. */
export async function removeOldBackups(folder: string, outfit: string): Promise<readonly string[]> {
  const names = await readdir(folder);
  const old = [...chooseOldBackups(names, outfit), ...names.filter((name) => isLeftover(name, outfit))];
  for (const name of old) await rm(join(folder, name), { force: true });
  return old;
}
