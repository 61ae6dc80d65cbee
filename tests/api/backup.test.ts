// A backup holds everything, comes back as it was, and a damaged one is refused with what is damaged in it.
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { NOT_KEPT } from '../../api/backup/file-format.ts';
import { openBackup, refuseDamaged } from '../../api/backup/read-file.ts';
import { restoreInto } from '../../api/backup/restore.ts';
import { writeBackup } from '../../api/backup/write-file.ts';
import { openConnections } from '../../api/database/connections.ts';
import { type Service, startService } from './app.ts';
import { makeEmptyDatabase, makeFolder, makeOutfit, readRows, T } from './backup-making.ts';

let service: Service;
beforeAll(async () => {
  service = await startService();
  await makeOutfit(service);
});
afterAll(() => service.close());

async function writeOne(): Promise<string> {
  const path = join(makeFolder(), 'backup.zip');
  await writeBackup(service.database.sql, path, { at: T });
  return path;
}

async function restoreOne(path: string) {
  const url = await makeEmptyDatabase();
  const backup = await openBackup(path);
  await refuseDamaged(backup);
  const mended = await restoreInto(url, backup);
  backup.close();
  return { url, mended };
}

test('every table of the schema is in the file, or named with the reason why it stays behind', async () => {
  const tables = await service.database.sql<{ name: string }[]>`
    select table_name::text as name from information_schema.tables
    where table_schema = 'public' and table_type = 'BASE TABLE'`;
  const backup = await openBackup(await writeOne());
  const kept = backup.manifest.tables.map(({ table }) => table);
  backup.close();
  expect([...kept, ...Object.keys(NOT_KEPT)].sort()).toEqual(tables.map(({ name }) => name).sort());
});

test('tables of any size come out whole, one after the other', async () => {
  const { sql } = service.database;
  const id = '00000000-0000-4000-8000-00000000c1a5';
  await sql`insert into class (id, name) values (${id}, 'Sizes')`;
  // A socket hands on up to 64 KiB at once: what matters is how a table's end falls in with that.
  for (let chars = 1_000; chars < 260_000; chars = Math.ceil(chars * 1.2)) {
    const needs = Array.from({ length: 10 }, (_, n) => String(n).repeat(chars / 10));
    await sql`update class set needs = ${needs} where id = ${id}`;
    const backup = await openBackup(await writeOne());
    const part = backup.manifest.tables.find(({ table }) => table === 'class');
    backup.close();
    expect(part?.bytes, `${chars} characters`).toBeGreaterThan(chars - 10);
  }
  await sql`delete from class where id = ${id}`;
});

test('a file restored into an empty database gives every row of every table back, the pictures too', async () => {
  const { url, mended } = await restoreOne(await writeOne());
  const restored = openConnections(url, 2);
  const leftOut = Object.keys(NOT_KEPT);
  const [before, after] = [
    await readRows(service.database.sql, leftOut),
    await readRows(restored.sql, leftOut),
  ];
  await restored.close();
  expect(after).toEqual(before);
  expect(mended).toBe(0);
  expect(before.picture).toHaveLength(2);
  expect(before.movement_waiting).toHaveLength(1);
  expect(before.movement).toHaveLength(7);
});
