// The one door to a database that is ready: the outfit's own embedded one, or one named by DATABASE_URL.
import type { Logger } from 'pino';
import { ensureDatabase, prepareEmbedded } from './embedded.ts';
import { migrate, UnusableDatabase } from './migrate.ts';
import type { DatabaseState } from './state.ts';
import { superviseServer, watchServer } from './supervise.ts';

export type OpenDatabase = {
  readonly url: string;
  readonly state: () => DatabaseState;
  readonly stop: () => Promise<void>;
  /** Where the files are, when not in the data folder. */
  readonly elsewhere?: string;
};

/** What must happen in a database before it is used. */
export type Prepare = (url: string) => Promise<unknown>;

async function openEmbedded(dataFolder: string, log: Logger, prepare: Prepare): Promise<OpenDatabase> {
  const { cluster, elsewhere } = await prepareEmbedded(dataFolder);
  const server = await superviseServer(cluster, log);
  try {
    const url = await ensureDatabase(cluster, server.port);
    await prepare(url);
    const { state, stop } = server;
    return elsewhere === undefined ? { url, state, stop } : { url, state, stop, elsewhere };
  } catch (error) {
    await server.stop();
    throw error;
  }
}

function hidePassword(url: string): string {
  const shown = new URL(url);
  shown.password = '';
  return shown.href;
}

async function openElsewhere(url: string, log: Logger, prepare: Prepare): Promise<OpenDatabase> {
  try {
    await prepare(url);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : undefined;
    if (code === undefined) throw error;
    throw new UnusableDatabase(
      `The database at ${hidePassword(url)} (DATABASE_URL) cannot be used: ${String(error)}. ` +
        'Is it running, and are the name and password right?',
      { cause: error },
    );
  }
  return { url, ...watchServer(url, log) };
}

/**
 * Opens the database, brings it up to date and keeps it there. The embedded one only under the folder's lock. `prepare`
 * may fill it before; it has to bring it up to date itself.
 */
export function openDatabase(
  databaseUrl: string | undefined,
  dataFolder: string,
  log: Logger,
  prepare: Prepare = (url) => migrate(url),
): Promise<OpenDatabase> {
  return databaseUrl === undefined
    ? openEmbedded(dataFolder, log, prepare)
    : openElsewhere(databaseUrl, log, prepare);
}
