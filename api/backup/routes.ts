// Backups over HTTP: how it stands, where the files go, and one now.
import { z } from 'zod';
import { backupStateSchema } from '#domain/backup.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { readOutfit } from '../outfit/store.ts';
import { beginBackup } from './back-up.ts';
import { tryFolder } from './folder.ts';
import { readBackupState } from './read-state.ts';
import { keepFolder } from './store.ts';

const path = '/api/backup';
const tag = 'Backup';
const FOLDER_CHARS_MAX = 4_096;

const read = defineRoute({
  method: 'get',
  path,
  summary: 'How old the last good backup is, where the files go, and which are there',
  tag,
  answers: { 200: backupStateSchema },
  handle: async (_given, { connections: { sql }, clock }) => ({
    status: 200,
    body: await readBackupState(sql, clock()),
  }),
});

const keep = defineRoute({
  method: 'put',
  path,
  summary: 'Names the folder on this machine that the files go to: an absolute path; null for none',
  tag,
  body: z.strictObject({ folder: z.string().trim().min(1).max(FOLDER_CHARS_MAX).nullable() }),
  answers: { 200: backupStateSchema },
  refusals: ['no-outfit', 'folder-unusable'],
  handle: async ({ body: { folder } }, { connections: { sql }, clock }) => {
    if ((await readOutfit(sql)) === null) return { refusal: { kind: 'no-outfit' } };
    const detail = folder === null ? null : await tryFolder(folder);
    if (detail !== null) return { refusal: { kind: 'folder-unusable', detail } };
    await keepFolder(sql, folder);
    return { status: 200, body: await readBackupState(sql, clock()) };
  },
});

const begin = defineRoute({
  method: 'post',
  path,
  summary: 'Makes a backup now, and checks it by restoring it beside. Answers at once; read how far it is.',
  tag,
  body: z.strictObject({}),
  answers: { 202: z.strictObject({ file: z.string() }) },
  refusals: ['backup-running', 'no-outfit', 'no-backup-folder', 'folder-unusable'],
  handle: async (_given, deps) => {
    const begun = await beginBackup(deps);
    if ('refusal' in begun) return begun;
    return { status: 202, body: { file: begun.file } };
  },
});

export const backupRoutes: readonly Route[] = [read, keep, begin];
