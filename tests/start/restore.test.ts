// Nothing goes with the laptop: a backup file and an empty machine give the same outfit back.
import { randomBytes, randomUUID } from 'node:crypto';
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import pg from 'pg';
import { expect, inject, test } from 'vitest';
import { backupStateSchema } from '#domain/backup.ts';
import { makeUuidV7 } from '#domain/ids.ts';
import { plainFacts } from '../api/facts.ts';
import { makeFolder, readDatabaseUrl, startHealthy, startService, waitFor } from './service.ts';

async function tell(address: string, method: string, path: string, body: object | Uint8Array<ArrayBuffer>) {
  const isBytes = body instanceof Uint8Array;
  const answer = await fetch(new URL(path, address), {
    method,
    headers: { 'content-type': isBytes ? 'image/png' : 'application/json' },
    body: isBytes ? body : JSON.stringify(body),
  });
  const text = await answer.text();
  if (!answer.ok) throw new Error(`${path} was answered ${answer.status}: ${text}`);
  return text === '' ? {} : JSON.parse(text);
}

// Source of the first bytes: W3C PNG 5.2.
const PICTURE = Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, ...randomBytes(5_000)]);
const PLACE = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };

/** An outfit with a picture, two places and a ledger of sixty lines. */
async function makeOutfit(address: string): Promise<void> {
  await tell(address, 'PUT', '/api/outfit', {
    ...{ name: 'Reed and Mud Films', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric' },
    ...{ yearEnd: '12-31', mainsVolts: 230, dayTurnsMinutes: 300, lastLook: ['wall sockets'] },
  });
  const places: string[] = [];
  for (const name of ['Boathouse', 'Reed hut'])
    places.push((await tell(address, 'POST', '/api/places', { ...PLACE, name })).id);
  const { id: lamp } = await tell(address, 'POST', '/api/items', plainFacts);
  await tell(address, 'PUT', `/api/pictures/${randomUUID()}?thing=${lamp}`, PICTURE);
  const phone = { deviceId: randomUUID(), clockRun: randomUUID(), personId: null };
  const movements = Array.from({ length: 60 }, (_, n) => ({
    ...{
      ...phone,
      id: makeUuidV7(Date.now() + n, randomBytes(16)),
      deviceNo: n + 1,
      deviceAt: Date.now() - 60 + n,
    },
    ...{ kind: 'move', stopId: null, round: null, note: null, check: 'scanned', why: 'tidy', spot: null },
    ...{ thingId: lamp, code: null, toId: places[n % 2], sealUnbroken: false },
  }));
  const clocks = [{ clockRun: phone.clockRun, offsetMs: 0 }];
  await tell(address, 'POST', '/api/movements', { clocks, movements });
}

/** What the service itself makes: its one file, written and checked. */
async function backUp(address: string, folder: string): Promise<string> {
  await tell(address, 'PUT', '/api/backup', { folder });
  const { file } = await tell(address, 'POST', '/api/backup', {});
  await waitFor('a backup that was checked', async () => {
    const answer = await fetch(new URL('/api/backup', address));
    const { files } = backupStateSchema.parse(await answer.json());
    return files.some(({ name, outcome }) => name === file && outcome === 'good') ? true : undefined;
  });
  return join(folder, file);
}

/** A line for each table's content: positions, ledger, pictures. */
async function sumUp(url: string): Promise<readonly unknown[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    const sums = ['movement', 'position', 'picture', 'thing', 'place', 'outfit'].map(
      (table) =>
        `select '${table}' as table, count(*)::int as rows, md5(string_agg(t::text, '|' order by t::text)) as sum from "${table}" t`,
    );
    return (await client.query(sums.join(' union all '))).rows;
  } finally {
    await client.end();
  }
}

/** One outfit, backed up, and what its database held. Its service has ended. */
async function makeBackup() {
  const folder = makeFolder();
  const data = join(folder, 'data');
  const service = await startHealthy({ data });
  await makeOutfit(service.address);
  const files = join(folder, 'stick');
  mkdirSync(files);
  const file = await backUp(service.address, files);
  const sums = await sumUp(readDatabaseUrl(data));
  service.kill('SIGTERM');
  await service.ended;
  return { file, sums, data };
}

test('a backup file gives the same outfit back on an empty machine, and in another database by its address', async () => {
  const { file, sums, data } = await makeBackup();
  const fresh = join(makeFolder(), 'data');
  const restored = await startHealthy({ data: fresh, words: ['--restore', file] });
  expect(restored.output()).toMatch(
    /Reading .*\nRestoring Reed and Mud Films as it was at 20.*\nRestored: Reed and Mud Films, whole\.\nDesk /,
  );
  expect(await sumUp(readDatabaseUrl(fresh))).toEqual(sums);
  restored.kill('SIGTERM');
  await restored.ended;
  // The next start is an ordinary one.
  const next = await startHealthy({ data: fresh });
  expect(await sumUp(readDatabaseUrl(fresh))).toEqual(sums);
  next.kill('SIGTERM');
  await next.ended;

  const name = `${inject('databaseTemplate')}_start`;
  const server = new pg.Client({ connectionString: inject('databaseServer') });
  await server.connect();
  await server.query(`CREATE DATABASE "${name}" TEMPLATE template0 ENCODING 'UTF8'`);
  const url = new URL(inject('databaseServer'));
  url.pathname = `/${name}`;
  const elsewhere = await startHealthy({
    ...{ data: join(makeFolder(), 'data'), words: ['--restore', file] },
    environment: { DATABASE_URL: url.href },
  });
  expect(await sumUp(url.href)).toEqual(sums);
  elsewhere.kill('SIGTERM');
  await elsewhere.ended;
  await server.query(`DROP DATABASE "${name}" WITH (FORCE)`);
  await server.end();

  // An outfit is never overwritten, its own file neither.
  for (const place of [data, fresh]) {
    const refused = startService({ data: place, words: ['--restore', file] });
    expect(await refused.ended).toBe(1);
    expect(refused.output()).toContain('There is something here already: "Reed and Mud Films".');
    expect(refused.output()).not.toMatch(/\n\s+at /);
  }
});

test('a damaged file is refused before anything is made, and words that lack a file are too', async () => {
  const { file } = await makeBackup();
  const bytes = readFileSync(file);
  const at = bytes.indexOf('movement.csv') + 200;
  bytes[at] = (bytes[at] ?? 0) ^ 0xff;
  const damaged = join(dirname(file), 'damaged.zip');
  writeFileSync(damaged, bytes);
  const data = join(makeFolder(), 'data');
  const cases = [
    { words: ['--restore', damaged], sentence: 'is damaged, in tables/movement.csv.' },
    { words: ['--restore', join(dirname(file), 'gone.zip')], sentence: 'There is no file ' },
    { words: ['--restore'], sentence: '--restore needs the name of a backup file.' },
    { words: ['--restore', file, '--demo'], sentence: '--restore and --demo do not go together' },
    { words: ['--restore', file, '--now'], sentence: 'Tailcount does not know "--now".' },
  ];
  for (const { words, sentence } of cases) {
    const service = startService({ data, words });
    expect(await service.ended, sentence).toBe(1);
    expect(service.output()).toContain(sentence);
    expect(service.output()).not.toMatch(/\n\s+at /);
    expect(existsSync(join(data, 'postgres-18'))).toBe(false);
  }
});

test('a restore that was killed in the middle leaves nothing, the next start says what to do, and a second one is whole', async () => {
  const { file, sums } = await makeBackup();
  const moved = join(makeFolder(), 'my backup.zip');
  copyFileSync(file, moved);
  const data = join(makeFolder(), 'data');
  const killed = startService({ data, words: ['--restore', moved] });
  await waitFor('the restore to begin', () => (killed.output().includes('Restoring ') ? true : undefined));
  killed.kill('SIGKILL');
  await killed.ended;
  const plain = startService({ data });
  expect(await plain.ended).toBe(1);
  expect(plain.output()).toContain('A restore was cut short here, and nothing was restored yet.');
  expect(plain.output()).toContain(`npm start -- --restore ${moved}`);
  const second = await startHealthy({ data, words: ['--restore', moved] });
  expect(await sumUp(readDatabaseUrl(data))).toEqual(sums);
  second.kill('SIGTERM');
  await second.ended;
  await startHealthy({ data });
});
