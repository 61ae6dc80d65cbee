// The service as it ships, in a process of its own, and a PostgreSQL with its default durability for it.
import { type ChildProcess, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { ensureDatabase, prepareEmbedded } from '../../api/database/embedded.ts';
import { migrate } from '../../api/database/migrate.ts';
import { addressOf, findFreePort, startServer } from '../../api/database/server.ts';

const PROJECT = fileURLToPath(new URL('../..', import.meta.url));
const START_MS_MAX = 120_000;

export interface BenchServer {
  /** A new migrated database. */
  readonly makeDatabase: () => Promise<string>;
  readonly stop: () => Promise<void>;
}

/** A folder of its own that other accounts may enter, because the database has one when root runs the bench. */
export function makeFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'tailcount-bench-'));
  chmodSync(folder, 0o755);
  return folder;
}

export async function startBenchServer(): Promise<BenchServer> {
  const folder = makeFolder();
  const { cluster } = await prepareEmbedded(folder);
  const server = await startServer(cluster, await findFreePort());
  await ensureDatabase(cluster, server.port);
  const base = addressOf(cluster, server.port, 'postgres');
  const makeDatabase = async () => {
    const name = `bench_${randomBytes(4).toString('hex')}`;
    const client = new pg.Client({ connectionString: base });
    await client.connect();
    await client.query(`CREATE DATABASE ${name} TEMPLATE template0 ENCODING 'UTF8'`);
    await client.end();
    const url = new URL(base);
    url.pathname = `/${name}`;
    await migrate(url.href);
    return url.href;
  };
  const stop = async () => {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  return { makeDatabase, stop };
}

export interface Running {
  readonly url: string;
  /** From the command to the first healthy answer. */
  readonly seconds: number;
  readonly stop: () => Promise<void>;
}

async function untilHealthy(url: string, child: ChildProcess): Promise<void> {
  const until = performance.now() + START_MS_MAX;
  while (performance.now() < until) {
    if (child.exitCode !== null) throw new Error(`the service ended with ${child.exitCode}`);
    const answer = await fetch(`${url}/api/health`).catch(() => null);
    if (answer?.ok) return;
    await wait(20);
  }
  throw new Error('the service did not become healthy');
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return;
  const ended = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await ended;
}

/** Starts a program of the project and waits until it is healthy. */
export async function startProgram(
  path: string,
  settings: Readonly<Record<string, string>>,
): Promise<Running> {
  const port = await findFreePort();
  const startedAt = performance.now();
  const child = spawn(process.execPath, ['--import', 'tsx', join(PROJECT, path)], {
    cwd: PROJECT,
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, ...settings, PORT: String(port) },
  });
  const url = `http://127.0.0.1:${port}`;
  try {
    await untilHealthy(url, child);
  } catch (error) {
    await end(child);
    throw error;
  }
  return { url, seconds: (performance.now() - startedAt) / 1_000, stop: () => end(child) };
}

/** The service on a database of the bench. */
export async function startService(databaseUrl: string): Promise<Running> {
  const folder = makeFolder();
  const running = await startProgram('api/main.ts', { DATABASE_URL: databaseUrl, DATA: folder });
  const stop = async () => {
    await running.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  return { ...running, stop };
}
