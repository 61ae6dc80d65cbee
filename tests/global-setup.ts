// One PostgreSQL for the whole test run, with one migrated template database: DATABASE_URL when it is set, else
// a container when a Docker engine answers, else the embedded one in a temporary folder. It says which ran.
import { randomBytes } from 'node:crypto';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import type { TestProject } from 'vitest/node';
import { ensureDatabase, prepareEmbedded } from '../api/database/embedded.ts';
import { migrate } from '../api/database/migrate.ts';
import { addressOf, findFreePort, startServer } from '../api/database/server.ts';
import type {} from './database.ts';

type TestServer = { readonly kind: string; readonly url: string; readonly stop: () => Promise<void> };

// Nothing in a test run outlives it, so the disk need not be waited for.
const HASTY = ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off', 'max_connections=200'];
const CONTAINER = 'postgres:18';

function engineAnswers(): Promise<boolean> {
  const host = process.env.DOCKER_HOST;
  if (host !== undefined && !host.startsWith('unix://')) return Promise.resolve(true);
  const socketPath = host?.slice('unix://'.length) ?? '/var/run/docker.sock';
  return new Promise((resolve) => {
    const ask = request({ socketPath, path: '/_ping', timeout: 2_000 }, (answer) => {
      answer.resume();
      resolve(answer.statusCode === 200);
    });
    ask.once('error', () => resolve(false));
    ask.once('timeout', () => ask.destroy(new Error('The Docker engine does not answer.')));
    ask.end();
  });
}

async function startContainer(): Promise<TestServer> {
  const { GenericContainer, Wait } = await import('testcontainers');
  const password = randomBytes(12).toString('hex');
  const container = await new GenericContainer(CONTAINER)
    .withEnvironment({ POSTGRES_USER: 'tailcount', POSTGRES_PASSWORD: password, POSTGRES_DB: 'tailcount' })
    .withExposedPorts(5432)
    .withCommand(['postgres', ...HASTY.flatMap((setting) => ['-c', setting])])
    .withWaitStrategy(Wait.forLogMessage(/ready to accept connections/, 2))
    .start();
  const url = `postgres://tailcount:${password}@${container.getHost()}:${container.getMappedPort(5432)}/tailcount`;
  return {
    kind: `a container of ${CONTAINER}`,
    url,
    stop: async () => {
      await container.stop();
    },
  };
}

async function startEmbedded(): Promise<TestServer> {
  const folder = mkdtempSync(join(tmpdir(), 'tailcount-tests-'));
  chmodSync(folder, 0o755); // The database has an account of its own when root runs the tests.
  const { cluster } = await prepareEmbedded(folder, HASTY);
  const server = await startServer(cluster, await findFreePort());
  await ensureDatabase(cluster, server.port);
  const stop = async (): Promise<void> => {
    await server.stop();
    rmSync(folder, { recursive: true, force: true });
  };
  return { kind: 'the embedded PostgreSQL', url: addressOf(cluster, server.port, 'postgres'), stop };
}

async function openServer(): Promise<TestServer> {
  const given = process.env.DATABASE_URL;
  if (given) return { kind: 'the PostgreSQL at DATABASE_URL', url: given, stop: async () => {} };
  return (await engineAnswers()) ? startContainer() : startEmbedded();
}

async function dropWithClones(client: pg.Client, template: string): Promise<void> {
  const { rows } = await client.query('SELECT datname FROM pg_database WHERE starts_with(datname, $1)', [
    template,
  ]);
  for (const { datname } of rows) await client.query(`DROP DATABASE IF EXISTS "${datname}" WITH (FORCE)`);
}

export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  const server = await openServer();
  const client = new pg.Client({ connectionString: server.url });
  await client.connect();
  const template = `tailcount_template_${randomBytes(4).toString('hex')}`;
  await client.query(`CREATE DATABASE "${template}" TEMPLATE template0 ENCODING 'UTF8'`);
  const url = new URL(server.url);
  url.pathname = `/${template}`;
  await migrate(url.href);
  const { rows } = await client.query("SELECT current_setting('server_version') AS version");
  console.log(`Tests run on ${server.kind}, version ${rows[0].version}.`);
  project.provide('databaseServer', server.url);
  project.provide('databaseTemplate', template);
  return async () => {
    await dropWithClones(client, template);
    await client.end();
    await server.stop();
  };
}
