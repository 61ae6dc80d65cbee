// Keeps the database there: starts the embedded server again when it dies, and watches one that is elsewhere.
import { setTimeout as wait } from 'node:timers/promises';
import pg from 'pg';
import type { Logger } from 'pino';
import { type Cluster, findFreePort, type Server, startServer } from './server.ts';
import type { DatabaseState } from './state.ts';

export type Supervised = {
  readonly port: number;
  readonly state: () => DatabaseState;
  readonly stop: () => Promise<void>;
};

const PORTS_TRIED_MAX = 5;
const PAUSES_MS: readonly number[] = [0, 200, 1_000, 2_000, 5_000];
const WATCH_EVERY_MS = 2_000;

// Between the question for a free port and the start somebody else may take it.
async function startOnFreePort(cluster: Cluster): Promise<Server> {
  for (let tried = 1; ; tried += 1) {
    try {
      return await startServer(cluster, await findFreePort());
    } catch (error) {
      const portTaken = String(error).includes('could not bind');
      if (!portTaken || tried === PORTS_TRIED_MAX) throw error;
    }
  }
}

/**
 * Starts the embedded server and keeps it running on the same port, so that every connection pool finds it
 * again. It is tried for ever: a full disk may be emptied.
 */
export async function superviseServer(cluster: Cluster, log: Logger): Promise<Supervised> {
  let server = await startOnFreePort(cluster);
  let state: DatabaseState = 'up';
  let stopping = false;
  const { port } = server;

  const startAgain = async (): Promise<void> => {
    for (let attempt = 0; !stopping; attempt += 1) {
      try {
        await wait(PAUSES_MS[Math.min(attempt, PAUSES_MS.length - 1)]);
        if (!stopping) server = await startServer(cluster, port);
        return;
      } catch (error) {
        log.error({ err: error }, 'The database does not start. It is tried again in a moment.');
      }
    }
  };
  const keepRunning = async (): Promise<void> => {
    while (!stopping) {
      await server.ended;
      if (stopping) return;
      state = 'down';
      log.warn('The database ended by itself. It is started again.');
      await startAgain();
      if (stopping) return;
      state = 'up';
      log.info('The database runs again.');
    }
  };
  const kept = keepRunning();
  const stop = async (): Promise<void> => {
    stopping = true;
    state = 'down';
    await server.stop();
    await kept;
    await server.stop(); // One that was just being started again.
  };
  return { port, state: () => state, stop };
}

async function isThere(url: string): Promise<boolean> {
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: WATCH_EVERY_MS });
  client.on('error', () => {}); // The answer below says it.
  try {
    await client.connect();
    await client.query('SELECT 1');
    return true;
  } catch {
    return false;
  } finally {
    await client.end().catch(() => {});
  }
}

/** Watches a database that somebody else runs. */
export function watchServer(url: string, log: Logger): Omit<Supervised, 'port'> {
  let state: DatabaseState = 'up';
  const patience = new AbortController();
  const watch = async (): Promise<void> => {
    while (!patience.signal.aborted) {
      await wait(WATCH_EVERY_MS, undefined, { signal: patience.signal, ref: false }).catch(() => {});
      if (patience.signal.aborted) return;
      const next = (await isThere(url)) ? 'up' : 'down';
      if (next !== state) log.warn(next === 'up' ? 'The database is back.' : 'The database does not answer.');
      state = next;
    }
  };
  const watched = watch();
  const stop = async (): Promise<void> => {
    patience.abort();
    await watched;
  };
  return { state: () => state, stop };
}
