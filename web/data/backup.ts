// How it stands with the backups: asked again and again while one is being made, seldom otherwise. The feed does not tell of
// them, because they are no fact of the outfit.
import { useEffect } from 'react';
import { z } from 'zod';
import { type BackupState, backupStateSchema } from '#domain/backup.ts';
import { type Asked, ask } from './ask.ts';
import { type Told, useAsked } from './use-answer.ts';

const PATH = '/api/backup';
const WHILE_RUNNING_MS = 700;
const begunSchema = z.strictObject({ file: z.string() });

const askState = (path: string, signal: AbortSignal): Promise<Asked<BackupState>> =>
  ask(path, backupStateSchema, { signal });

/** The state, asked again every `everyMs`, and quickly while a backup is being made. */
export function useBackup(everyMs: number): Told<BackupState> {
  const told = useAsked(PATH, askState);
  const { answer, again } = told;
  const isRunning = answer !== 'loading' && answer.ok && answer.body.running !== null;
  useEffect(() => {
    const timer = setInterval(again, isRunning ? WHILE_RUNNING_MS : everyMs);
    return () => clearInterval(timer);
  }, [again, isRunning, everyMs]);
  return told;
}

export function nameFolder(folder: string | null): Promise<Asked<BackupState>> {
  return ask(PATH, backupStateSchema, { method: 'PUT', body: { folder } });
}

export function backUpNow(): Promise<Asked<z.infer<typeof begunSchema>>> {
  return ask(PATH, begunSchema, { method: 'POST', body: {} });
}
