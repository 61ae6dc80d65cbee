import { randomBytes } from 'node:crypto';
import { existsSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { expect, inject, onTestFinished, test } from 'vitest';
import { processesIn } from '../../api/database/processes.ts';
import { findFreePort } from '../../api/database/server.ts';
import { openTestDatabase, urlOfTestDatabase } from '../database.ts';
import {
  askHealth,
  findCluster,
  makeFolder,
  readDatabasePid,
  readDatabaseUrl,
  type Service,
  startHealthy,
  startService,
  waitFor,
  waitUntilHealthy,
} from './service.ts';

async function connect(url: string): Promise<pg.Client> {
  const client = new pg.Client({ connectionString: url });
  client.on('error', () => {}); // A test ends the server under it.
  await client.connect();
  onTestFinished(() => client.end().catch(() => {}));
  return client;
}

test('killed and started again, the service ends the database that lived on, and serves what was committed', async () => {
  const data = join(makeFolder(), 'data');
  const first = await startHealthy({ data });
  const orphan = readDatabasePid(data);
  const client = await connect(readDatabaseUrl(data));
  await client.query("INSERT INTO outfit (name, currency, zone) VALUES ('Reed and Mud Films', 'EUR', 'UTC')");
  // A busy connection of the old server would block a new one ("pre-existing shared memory block").
  const busy = client.query('SELECT pg_sleep(600)').catch(() => {});
  first.kill('SIGKILL');
  await first.ended;
  expect(processesIn(findCluster(data))).toContain(orphan);

  await startHealthy({ data });
  await busy;
  expect(readDatabasePid(data)).not.toBe(orphan);
  expect(processesIn(findCluster(data))).not.toContain(orphan);
  const again = await connect(readDatabaseUrl(data));
  expect((await again.query('SELECT name FROM outfit')).rows).toEqual([{ name: 'Reed and Mud Films' }]);
});

test('a killed database is started again on its port, and the service lives through it', async () => {
  const data = join(makeFolder(), 'data');
  const service = await startHealthy({ data });
  const url = readDatabaseUrl(data);
  for (let round = 0; round < 3; round += 1) {
    const killed = readDatabasePid(data);
    process.kill(killed, 'SIGKILL');
    await waitFor('another server', () => {
      const pidFile = join(findCluster(data), 'postmaster.pid');
      return existsSync(pidFile) && readDatabasePid(data) !== killed ? true : undefined;
    });
    await waitFor('the service to serve', async () =>
      (await askHealth(service.address)) === 200 ? true : undefined,
    );
    const client = await waitFor('the database', () => connect(url).catch(() => undefined));
    expect((await client.query('SELECT count(*)::int AS number FROM outfit')).rows).toEqual([{ number: 0 }]);
  }
});

test('while the database is away the service answers 503 with Retry-After, and serves again by itself', async () => {
  const data = join(makeFolder(), 'data');
  const service = await startHealthy({ data });
  const away = `${findCluster(data)}.away`;
  const pid = readDatabasePid(data);
  renameSync(findCluster(data), away);
  process.kill(pid, 'SIGKILL');
  const refused = await waitFor('a refusal', async () => {
    const answer = await fetch(new URL('/api/health', service.address));
    return answer.status === 200 ? undefined : answer;
  });
  expect(refused.status).toBe(503);
  expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
  expect(refused.headers.get('content-type')).toContain('application/problem+json');
  renameSync(away, findCluster(data));
  await waitFor('the service to serve', async () =>
    (await askHealth(service.address)) === 200 ? true : undefined,
  );
});

test('a pid file that names another living process does not keep the database from starting', async () => {
  const data = join(makeFolder(), 'data');
  const first = await startHealthy({ data });
  first.kill('SIGTERM');
  await first.ended;
  writeFileSync(
    join(findCluster(data), 'postmaster.pid'),
    `${process.pid}\n${findCluster(data)}\n1\n1\n\n127.0.0.1\n`,
  );
  await startHealthy({ data });
  expect(() => process.kill(process.pid, 0)).not.toThrow();
});

test('killed in the middle of its first set-up, the next start makes the database anew', async () => {
  const data = join(makeFolder(), 'data');
  const making = join(data, 'postgres-18.making', 'data');
  for (const sign of ['PG_VERSION', 'global', join('base', '1')]) {
    const service = startService({ data });
    await waitFor(`${sign} in the half-made folder`, () =>
      existsSync(join(making, sign)) ? true : undefined,
    );
    service.kill('SIGKILL');
    await service.ended;
    expect(existsSync(join(data, 'postgres-18'))).toBe(false);
  }
  await startHealthy({ data });
  expect(existsSync(join(data, 'postgres-18.making'))).toBe(false);
});

type Stuck = {
  readonly server: pg.Client;
  readonly blocker: pg.Client;
  readonly name: string;
  readonly start: () => Service;
};

// A service that was killed while the server is in the middle of its second migration.
async function killInMigration(): Promise<Stuck> {
  const name = `${inject('databaseTemplate')}_killed_${randomBytes(3).toString('hex')}`;
  const server = await connect(inject('databaseServer'));
  await server.query(`CREATE DATABASE "${name}" TEMPLATE template0 ENCODING 'UTF8'`);
  const data = join(makeFolder(), 'data');
  const port = await findFreePort();
  const start = (): Service =>
    startService({ data, port, environment: { DATABASE_URL: urlOfTestDatabase(name) } });
  // Whoever makes an extension waits for this lock, and that is in the middle of the second migration.
  const blocker = await connect(urlOfTestDatabase(name));
  await blocker.query('BEGIN; LOCK TABLE pg_extension IN EXCLUSIVE MODE');
  const first = start();
  await waitFor('the migration to be in its middle', async () => {
    const { rows } = await server.query(
      "SELECT 1 FROM pg_stat_activity WHERE datname = $1 AND wait_event_type = 'Lock' AND query LIKE '%CREATE EXTENSION%'",
      [name],
    );
    return rows.length > 0 ? true : undefined;
  });
  first.kill('SIGKILL');
  await first.ended;
  return { server, blocker, name, start };
}

async function readHistory(client: pg.Client): Promise<readonly { finished: number; rolledBack: number }[]> {
  const { rows } = await client.query(
    `SELECT count(*) FILTER (WHERE finished_at IS NOT NULL)::int AS finished,
       count(*) FILTER (WHERE rolled_back_at IS NOT NULL)::int AS "rolledBack"
     FROM _prisma_migrations GROUP BY migration_name ORDER BY migration_name`,
  );
  return rows;
}

test('killed in the middle of a migration that the server then finishes, the next start waits for it', async () => {
  const { server, blocker, name, start } = await killInMigration();
  const second = start();
  await waitFor('the second start to wait for its turn', async () => {
    const { rows } = await server.query(
      "SELECT 1 FROM pg_stat_activity WHERE datname = $1 AND wait_event = 'advisory'",
      [name],
    );
    return rows.length > 0 ? true : undefined;
  });
  await blocker.query('ROLLBACK');
  await waitUntilHealthy(second);
  const history = await readHistory(blocker);
  expect(history.length).toBeGreaterThanOrEqual(3);
  expect(history.filter((row) => row.finished !== 1 || row.rolledBack !== 0)).toEqual([]);
});

test('killed in the middle of a migration that dies with it, the next start applies it whole', async () => {
  const { server, blocker, name, start } = await killInMigration();
  await server.query(
    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = $1 AND wait_event_type = 'Lock'",
    [name],
  );
  await blocker.query('ROLLBACK');
  await waitUntilHealthy(start());
  const history = await readHistory(blocker);
  expect(history.slice(0, 2)).toEqual([
    { finished: 1, rolledBack: 0 },
    { finished: 1, rolledBack: 1 },
  ]);
  expect(history.filter((row) => row.finished !== 1)).toEqual([]);
});

test('databases that cannot serve are refused with a sentence that says what to do', async () => {
  const database = await openTestDatabase();
  onTestFinished(() => database.close());
  const environment = { DATABASE_URL: database.url };
  await database.sql`INSERT INTO _prisma_migrations (id, checksum, migration_name, finished_at)
    VALUES ('x', 'x', '29990101000000_later', now())`;
  const newer = startService({ data: join(makeFolder(), 'data'), environment });
  expect(await newer.ended).toBe(1);
  expect(newer.output()).toBe(
    'This database was last used by a newer Tailcount (it has 29990101000000_later). ' +
      'Start that newer version again; this one would not understand what it wrote.\n',
  );

  await database.sql`DROP TABLE _prisma_migrations`;
  const foreign = startService({ data: join(makeFolder(), 'data'), environment });
  expect(await foreign.ended).toBe(1);
  expect(foreign.output()).toContain('Give Tailcount an empty database.');
});

test('a database whose text is not UTF8 is refused', async () => {
  const name = `${inject('databaseTemplate')}_ascii`;
  const server = await connect(inject('databaseServer'));
  await server.query(
    `CREATE DATABASE "${name}" TEMPLATE template0 ENCODING 'SQL_ASCII' LOCALE_PROVIDER libc LC_COLLATE 'C' LC_CTYPE 'C'`,
  );
  const environment = { DATABASE_URL: urlOfTestDatabase(name) };
  const service = startService({ data: join(makeFolder(), 'data'), environment });
  expect(await service.ended).toBe(1);
  expect(service.output()).toContain('keeps its text as SQL_ASCII. Tailcount needs UTF8');
  await server.query(`DROP DATABASE "${name}"`);
});

test('a killed service is found healthy on the same address by whoever knew it', async () => {
  const data = join(makeFolder(), 'data');
  const first = startService({ data });
  const address = await waitUntilHealthy(first);
  first.kill('SIGKILL');
  await first.ended;
  expect(await waitUntilHealthy(startService({ data }))).toBe(address);
});
