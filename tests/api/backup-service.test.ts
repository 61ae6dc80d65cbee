// Backups as the desk and the timer make them: a folder that can be used, one at a time, checked by restoring, old ones let go.
import { mkdirSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { afterAll, beforeAll, beforeEach, expect, onTestFinished, test } from 'vitest';
import { type BackupState, backupStateSchema } from '#domain/backup.ts';
import { beginBackup } from '../../api/backup/back-up.ts';
import { backUpIfDue } from '../../api/backup/daily.ts';
import { openConnections } from '../../api/database/connections.ts';
import { type Service, startService } from './app.ts';
import { makeFolder, makeOutfit } from './backup-making.ts';

let service: Service;
let now = Date.UTC(2026, 4, 4, 12);
beforeAll(async () => {
  service = await startService({ clock: () => now });
  await makeOutfit(service);
});
afterAll(() => service.close());
beforeEach(async () => {
  await service.database.sql`delete from backup_run`;
  await service.database.sql`delete from backup_setting`;
});

const deps = () => ({
  connections: service.database,
  clock: () => now,
  log: pino({ level: 'silent' }),
});
const PATH = '/api/backup';

async function readState(): Promise<BackupState> {
  const reply = await service.ask('GET', PATH);
  expect(reply.status, reply.text).toBe(200);
  return backupStateSchema.parse(reply.body);
}

async function nameFolder(folder: string | null) {
  return service.ask('PUT', PATH, { body: { folder } });
}

/** Makes one backup from beginning to end. */
async function backUp() {
  const begun = await beginBackup(deps());
  if ('refusal' in begun) throw new Error(`refused: ${begun.refusal.kind}`);
  return { file: begun.file, end: await begun.finished };
}

test('a backup that was asked for is written, restored beside, compared, and shown as good', async () => {
  const folder = makeFolder();
  expect((await nameFolder(folder)).status).toBe(200);
  expect(await readState()).toMatchObject({ folder, folderTrouble: null, lastGoodAt: null, files: [] });
  const reply = await service.ask('POST', PATH, { body: {} });
  expect(reply.status, reply.text).toBe(202);
  let state = await readState();
  while (state.running !== null) state = await readState();
  expect(state).toMatchObject({ standing: 'good', lastGoodAt: now, lastGoodDays: 0, lastTrouble: null });
  expect(state.files).toEqual([
    { name: reply.body.file, bytes: expect.any(Number), at: now, outcome: 'good' },
  ]);
  expect(readdirSync(folder)).toEqual(['tailcount-reed-mud-films-20260504T120000Z.zip']);
  const left = await service.database.sql`select from pg_database where datname like 'tailcount_check_%'`;
  expect(left.count).toBe(0);
});

test('a folder that cannot be used is refused in words that say what to do', async () => {
  const folder = makeFolder();
  writeFileSync(join(folder, 'note.txt'), '');
  const cases = [
    ['backups', 'Name the folder from the top of the disk'],
    [join(folder, 'gone'), 'is not there. Put the stick or the disk back in, or name another folder.'],
    [join(folder, 'note.txt'), 'is a file, not a folder. Name a folder.'],
    [join(folder, 'note.txt', 'in'), 'is a file, not a folder. Name a folder.'],
    ['/proc', 'The folder /proc '],
    [`${folder}\0`, 'There is no folder of that name.'],
    [`/${'a'.repeat(4_000)}`, 'too long for this machine'],
  ] as const;
  for (const [path, words] of cases) {
    const reply = await nameFolder(path);
    expect(reply.status, path).toBe(422);
    expect(reply.body).toMatchObject({
      type: '/problems/folder-unusable',
      detail: expect.stringContaining(words),
    });
  }
  expect((await readState()).folder).toBeNull();
  for (const body of [{}, { folder: 5 }, { folder: '' }, { folder, more: 1 }])
    expect((await service.ask('PUT', PATH, { body })).status).toBe(400);
});

test('without a folder nothing is begun, and a stick that was pulled out is said and not crashed on', async () => {
  expect((await service.ask('POST', PATH, { body: {} })).body.type).toBe('/problems/no-backup-folder');
  const folder = join(makeFolder(), 'stick');
  mkdirSync(folder);
  await nameFolder(folder);
  await backUp();
  renameSync(folder, `${folder}-out`);
  now += 3_600_000;
  const reply = await service.ask('POST', PATH, { body: {} });
  expect(reply.status).toBe(422);
  expect(reply.body.detail).toBe(
    `The folder ${folder} is not there. Put the stick or the disk back in, or name another folder.`,
  );
  expect(await readState()).toMatchObject({
    standing: 'trouble',
    lastTriedAt: now,
    lastTrouble: reply.body.detail,
    folderTrouble: reply.body.detail,
    files: [],
  });
  renameSync(`${folder}-out`, folder);
  now += 3_600_000;
  await backUp();
  expect(await readState()).toMatchObject({ standing: 'good', lastTrouble: null, folderTrouble: null });
});

test('the desk warns from the seventh day after the last good one, and when there never was one', async () => {
  const DAY = 86_400_000;
  const before = now;
  onTestFinished(() => {
    now = before;
  });
  await nameFolder(makeFolder());
  const [row] = await service.database.sql<{ at: number }[]>`
    select (extract(epoch from min(started_at)) * 1000)::bigint as at from _prisma_migrations`;
  now = (row?.at ?? 0) + 7 * DAY - 1;
  expect((await readState()).standing).toBe('new');
  now += 1;
  expect((await readState()).standing).toBe('none');
  await backUp();
  now += 7 * DAY - 1;
  expect(await readState()).toMatchObject({ standing: 'good', lastGoodDays: 6 });
  now += 1;
  expect(await readState()).toMatchObject({ standing: 'old', lastGoodDays: 7 });
});

test('fourteen days keep their files; what is not ours by its name stays, and so does everything after a bad one', async () => {
  const folder = makeFolder();
  await nameFolder(folder);
  const ours = (day: number) => `tailcount-reed-mud-films-202604${String(day).padStart(2, '0')}T031500Z.zip`;
  const others = [
    'tailcount-another-outfit-20260401T031500Z.zip',
    'holiday.zip',
    'tailcount-reed-mud-films-20260401.zip',
  ];
  const days = Array.from({ length: 20 }, (_, n) => ours(n + 1));
  for (const name of [...days, ...others, `.${ours(3)}.making`, `${ours(4)}.broken`])
    writeFileSync(join(folder, name), '');
  const { file, end } = await backUp();
  expect(end.step).toBe('good');
  expect(readdirSync(folder).sort()).toEqual([...others, ...days.slice(-13), file].sort());

  // A backup of a database whose positions are not what its ledger says does not pass, and pushes nothing out.
  const { sql } = service.database;
  const [moved] = await sql<{ id: string; place: string }[]>`
    select thing_id as id, place_id as place from position order by thing_id limit 1`;
  const [elsewhere] = await sql<
    { id: string }[]
  >`select id from place where id <> ${moved?.place ?? ''} limit 1`;
  await sql`update position set place_id = ${elsewhere?.id ?? ''} where thing_id = ${moved?.id ?? ''}`;
  now += 1_000;
  const bad = await backUp();
  await sql`update position set place_id = ${moved?.place ?? ''} where thing_id = ${moved?.id ?? ''}`;
  expect(bad.end).toMatchObject({
    step: 'broken',
    trouble: expect.stringContaining('not what the ledger in the file says'),
  });
  expect(readdirSync(folder)).toContain(`${bad.file}.broken`);
  expect(readdirSync(folder)).toContain(file);
  expect(await readState()).toMatchObject({ standing: 'trouble', lastTrouble: bad.end.trouble });
});

test('of two processes on one database one makes it, and the other says so', async () => {
  await nameFolder(makeFolder());
  const other = await startService({ clock: () => now }, service.database);
  onTestFinished(() => other.close());
  const replies = await Promise.all(
    [service, other, service].map((at) => at.ask('POST', PATH, { body: {} })),
  );
  expect(replies.map(({ status }) => status).sort()).toEqual([202, 409, 409]);
  expect(replies.find(({ status }) => status === 409)?.body.type).toBe('/problems/backup-running');
  let state = await readState();
  while (state.running !== null) state = await readState();
  expect(state.files).toHaveLength(1);
});

test('the day’s backup is made once, at the first chance after the day has turned', async () => {
  const folder = makeFolder();
  const before = now;
  onTestFinished(() => {
    now = before;
  });
  expect(await backUpIfDue(deps())).toBeNull();
  await nameFolder(folder);
  // Lisbon in summer is one hour ahead of UTC, so the day turns at 04:00 UTC.
  now = Date.UTC(2026, 5, 10, 3, 59);
  await (await backUpIfDue(deps()))?.finished;
  expect(await backUpIfDue(deps())).toBeNull();
  now = Date.UTC(2026, 5, 10, 4, 0);
  await (await backUpIfDue(deps()))?.finished;
  now = Date.UTC(2026, 5, 11, 3, 59);
  expect(await backUpIfDue(deps())).toBeNull();
  expect(readdirSync(folder)).toHaveLength(2);
});

test('a day’s backup that went wrong is tried again after an hour, not at every look', async () => {
  const folder = join(makeFolder(), 'stick');
  mkdirSync(folder);
  await nameFolder(folder);
  rmSync(folder, { recursive: true });
  expect(await backUpIfDue(deps())).toBeNull();
  mkdirSync(folder);
  now += 59 * 60_000;
  expect(await backUpIfDue(deps())).toBeNull();
  now += 60_000;
  await (await backUpIfDue(deps()))?.finished;
  expect(readdirSync(folder)).toHaveLength(1);
});

test('an account that may not make a database gets a file whose checksums are right, and is told that it was not tried out', async () => {
  const { sql, url } = service.database;
  const role = `tailcount_plain_${Math.random().toString(36).slice(2, 8)}`;
  const database = new URL(url).pathname.slice(1);
  await sql.unsafe(
    `create role ${role} login password 'reed'; grant pg_read_all_data, pg_write_all_data to ${role}`,
  );
  onTestFinished(async () => {
    await sql.unsafe(
      `revoke all on database "${database}" from ${role}; drop owned by ${role}; drop role ${role}`,
    );
  });
  const asRole = new URL(url);
  [asRole.username, asRole.password] = [role, 'reed'];
  const connections = openConnections(asRole.href, 4);
  onTestFinished(() => connections.close());
  await nameFolder(makeFolder());
  const begun = await beginBackup({ ...deps(), connections });
  if ('refusal' in begun) throw new Error(begun.refusal.kind);
  expect(await begun.finished).toMatchObject({
    step: 'not-checked',
    trouble: expect.stringContaining('CREATEDB'),
  });
  const state = await readState();
  expect(state).toMatchObject({
    standing: 'good',
    lastGoodAt: now,
    lastTrouble: expect.stringContaining('CREATEDB'),
  });
  expect(state.files[0]?.outcome).toBe('not-checked');
});

test('a run that was killed in the middle is said to have been cut short, and the next one clears up after it', async () => {
  const folder = makeFolder();
  await nameFolder(folder);
  const { sql } = service.database;
  const database = 'tailcount_check_0123456789ab';
  await sql.unsafe(`create database ${database}`);
  await sql`
    insert into backup_run (id, started_at, folder, file, step, check_database)
    values (gen_random_uuid(), ${now - 1}, ${folder}, 'tailcount-reed-mud-films-20260504T110000Z.zip', 'checking', ${database})`;
  expect(await readState()).toMatchObject({
    running: null,
    standing: 'trouble',
    lastTrouble: 'It was cut short, because the service or its database was stopped.',
  });
  await backUp();
  expect((await sql`select from pg_database where datname = ${database}`).count).toBe(0);
  expect(await readState()).toMatchObject({ standing: 'good', lastTrouble: null });
});
