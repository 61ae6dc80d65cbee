// What is not a whole backup of ours is refused with what is wrong in it, and nothing is restored from it.
import { createHash } from 'node:crypto';
import { createWriteStream, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buffer } from 'node:stream/consumers';
import { pipeline } from 'node:stream/promises';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { fromBufferPromise } from 'yauzl';
import { ZipFile } from 'yazl';
import { entryOfTable, manifestSchema } from '../../api/backup/file-format.ts';
import { openBackup, refuseDamaged } from '../../api/backup/read-file.ts';
import { readHolder, restoreInto } from '../../api/backup/restore.ts';
import { writeBackup } from '../../api/backup/write-file.ts';
import { openConnections } from '../../api/database/connections.ts';
import { listMigrations, migrate } from '../../api/database/migrate.ts';
import { type Service, startService } from './app.ts';
import { AWKWARD, JPEG, makeEmptyDatabase, makeFolder, makeOutfit, readRows, T } from './backup-making.ts';

let service: Service;
let ground: Awaited<ReturnType<typeof makeOutfit>>;
let whole: Buffer;
beforeAll(async () => {
  service = await startService();
  ground = await makeOutfit(service);
  const folder = mkdtempSync(join(tmpdir(), 'tailcount-backup-'));
  await writeBackup(service.database.sql, join(folder, 'whole.zip'), { at: T });
  whole = readFileSync(join(folder, 'whole.zip'));
  rmSync(folder, { recursive: true });
});
afterAll(() => service.close());

/** The entries of a ZIP, by another reading than the service's: names, bytes, and where each one's data begins. */
async function readEntries(bytes: Buffer) {
  const zip = await fromBufferPromise(bytes, { lazyEntries: true });
  const entries = new Map<
    string,
    { readonly content: Buffer; readonly start: number; readonly size: number }
  >();
  for await (const entry of zip.eachEntry()) {
    const { fileDataStart: start } = await zip.readLocalFileHeaderPromise(entry, { minimal: true });
    const content = await buffer(await zip.openReadStreamPromise(entry));
    entries.set(entry.fileName, { content, start, size: entry.compressedSize });
  }
  return entries;
}

function put(bytes: Buffer): string {
  const path = join(makeFolder(), 'changed.zip');
  writeFileSync(path, bytes);
  return path;
}

/** Why a file is refused; null when every part of it is right. */
async function refusalOf(path: string): Promise<string | null> {
  try {
    const backup = await openBackup(path);
    onTestFinished(() => backup.close());
    await refuseDamaged(backup);
    return null;
  } catch (error) {
    return error instanceof Error && error.constructor.name === 'UnusableBackup'
      ? error.message
      : String(error);
  }
}

/** The same file packed anew with other entries. */
async function repack(change: (entries: Map<string, Buffer>) => void): Promise<string> {
  const entries = new Map([...(await readEntries(whole))].map(([name, { content }]) => [name, content]));
  change(entries);
  const zip = new ZipFile();
  for (const [name, content] of entries) zip.addBuffer(content, name);
  zip.end();
  const path = join(makeFolder(), 'repacked.zip');
  await pipeline(zip.outputStream, createWriteStream(path));
  return path;
}

function editManifest(entries: Map<string, Buffer>, edit: (manifest: Record<string, unknown>) => void): void {
  const manifest = JSON.parse(String(entries.get('manifest.json')));
  edit(manifest);
  entries.set('manifest.json', Buffer.from(JSON.stringify(manifest)));
}

test('one changed byte in any kind of part is found, and the part is named', async () => {
  const entries = await readEntries(whole);
  const picture = [...entries.keys()].find((name) => name.endsWith('.jpg')) ?? '';
  for (const name of ['README.txt', 'manifest.json', 'tables/movement.csv', 'tables/outfit.csv', picture]) {
    const { start = 0, size = 0 } = entries.get(name) ?? {};
    const changed = Buffer.from(whole);
    const at = start + Math.floor(size / 2);
    changed[at] = (changed[at] ?? 0) ^ 0x10;
    expect(await refusalOf(put(changed)), name).toMatch(
      new RegExp(`^The backup file .* is damaged, in ${name.replaceAll('.', '\\.')}\\. Take another file`),
    );
  }
  expect(await refusalOf(put(whole))).toBeNull();
});

test('one changed byte anywhere is refused in words, or changes nothing of what is restored', async () => {
  const parts = async (path: string) => {
    const backup = await openBackup(path);
    onTestFinished(() => backup.close());
    return JSON.stringify(backup.manifest);
  };
  const right = await parts(put(whole));
  // The ends hold the list of contents, the middle the parts; an odd step meets every kind of field.
  const places = [...Array(whole.length).keys()].filter((at) => at % 211 === 0 || at > whole.length - 400);
  for (const at of places) {
    const changed = Buffer.from(whole);
    changed[at] = (changed[at] ?? 0) ^ (1 << (at % 8));
    const path = put(changed);
    const refusal = await refusalOf(path);
    if (refusal === null) expect(await parts(path), `byte ${at}`).toBe(right);
    else expect(refusal, `byte ${at}`).toMatch(/changed\.zip/);
  }
});

test('a file that was cut short, is empty, is no ZIP, is a folder, or is not there gets a sentence each', async () => {
  const folder = makeFolder();
  const cut = put(whole);
  truncateSync(cut, whole.length - 100);
  expect(await refusalOf(cut)).toContain('as in a file that was cut short');
  expect(await refusalOf(put(Buffer.alloc(0)))).toContain('its list of contents is missing or damaged');
  expect(await refusalOf(put(Buffer.from('a list of gear')))).toContain('its list of contents is missing');
  expect(await refusalOf(folder)).toBe(
    `${folder} is no file. Name the backup file itself, which ends in .zip.`,
  );
  expect(await refusalOf(join(folder, 'gone.zip'))).toBe(`There is no file ${join(folder, 'gone.zip')}.`);
  expect(await refusalOf(await repack((entries) => entries.delete('manifest.json')))).toContain(
    'but no backup',
  );
  expect(await refusalOf(await repack((entries) => entries.delete('tables/thing.csv')))).toContain(
    'is damaged, in tables/thing.csv.',
  );
});

test('a file of a newer format or of a newer schema says so, and one of something else is no backup', async () => {
  const newer = await repack((entries) =>
    editManifest(entries, (manifest) => {
      manifest.version = 2;
      manifest.somethingNew = true;
    }),
  );
  expect(await refusalOf(newer)).toContain(
    'was written by a newer Tailcount (format 2; this one reads up to 1)',
  );
  const other = await repack((entries) => entries.set('manifest.json', Buffer.from('{"format":"holiday"}')));
  expect(await refusalOf(other)).toMatch(/is no backup of Tailcount\.$/);
  const schema = await repack((entries) =>
    editManifest(entries, (manifest) => {
      manifest.migrations = [...listMigrations(), '29991231000000_later'];
    }),
  );
  const backup = await openBackup(schema);
  onTestFinished(() => backup.close());
  await expect(restoreInto(await makeEmptyDatabase(), backup)).rejects.toThrow(
    'was written by a newer Tailcount (it has 29991231000000_later)',
  );
});

test('a file whose rows cannot be true is refused whole, although its checksums are right', async () => {
  const path = await repack((entries) => {
    const text = String(entries.get('tables/thing.csv')).replace(/,item,/, ',spaceship,');
    entries.set('tables/thing.csv', Buffer.from(text));
    editManifest(entries, (manifest) => {
      const { tables } = manifestSchema.pick({ tables: true }).loose().parse(manifest);
      const bytes = entries.get('tables/thing.csv') ?? Buffer.alloc(0);
      const sha256 = createHash('sha256').update(bytes).digest('hex');
      manifest.tables = tables.map((part) =>
        part.table === 'thing' ? { ...part, bytes: bytes.length, sha256 } : part,
      );
    });
  });
  expect(await refusalOf(path)).toBeNull();
  const url = await makeEmptyDatabase();
  const backup = await openBackup(path);
  onTestFinished(() => backup.close());
  await expect(restoreInto(url, backup)).rejects.toThrow(/cannot be loaded. The database says: .*thing_kind/);
  const { sql, close } = openConnections(url, 1);
  onTestFinished(close);
  expect(await readHolder(sql)).toBeNull();
  const sound = await openBackup(put(whole));
  onTestFinished(() => sound.close());
  expect(await restoreInto(url, sound)).toBe(0);
  await expect(restoreInto(url, sound)).rejects.toThrow(
    'There is something here already: "Reed & Mud Films".',
  );
});

test('the file is read without this program: CSV by a reference parser, pictures as they were taken', async () => {
  const entries = await readEntries(whole);
  const rowsOf = (table: string): Record<string, string>[] =>
    parse(entries.get(entryOfTable(table))?.content ?? '', {
      columns: true,
      bom: false,
      relax_quotes: false,
    });
  const lamp = rowsOf('thing').find(({ id }) => id === ground.lamp);
  expect(lamp).toMatchObject({ note: AWKWARD, serial: '', weight_grams: '0', watt_hours: '98.10' });
  expect(
    rowsOf('movement')
      .map(({ id }) => id)
      .sort(),
  ).toEqual(
    ground.lines
      .map(({ id }) => id)
      .slice(0, 7)
      .sort(),
  );
  const bodies = rowsOf('movement').map(({ body }) => JSON.parse(body ?? ''));
  expect(bodies.map(({ deviceId }) => deviceId)).toEqual(bodies.map(() => ground.phone.deviceId));
  expect(entries.get(`files/picture/${ground.picture}.jpg`)?.content).toEqual(JPEG);
  expect(String(entries.get('README.txt')?.content)).toContain('npm start -- --restore');
  const { tables } = manifestSchema.parse(JSON.parse(String(entries.get('manifest.json')?.content)));
  for (const { entry, sha256, rows, table } of tables) {
    const content = entries.get(entry)?.content ?? Buffer.alloc(0);
    expect(createHash('sha256').update(content).digest('hex'), entry).toBe(sha256);
    expect(rowsOf(table), entry).toHaveLength(rows);
  }
});

test('a file of an earlier schema is restored into that schema, and then brought up to date', async () => {
  // As an earlier Tailcount would have written it: before the tables and columns of the last migrations were there.
  const before = listMigrations().filter((name) => name < '20261125000500');
  const url = await makeEmptyDatabase();
  await migrate(url, before);
  const old = openConnections(url, 2);
  onTestFinished(old.close);
  await old.sql`insert into outfit (name, currency, zone) values ('Old Reed', 'EUR', 'UTC')`;
  await old.sql`insert into place (id, kind, name) values (gen_random_uuid(), 'store', 'Boathouse')`;
  const path = join(makeFolder(), 'old.zip');
  await writeBackup(old.sql, path, { at: T });
  const backup = await openBackup(path);
  onTestFinished(() => backup.close());
  expect(backup.manifest.migrations).toEqual(before);
  // Into a database that a start of this program has made already, and that is still empty.
  const fresh = await makeEmptyDatabase();
  await migrate(fresh);
  await restoreInto(fresh, backup);
  const { sql, close } = openConnections(fresh, 2);
  onTestFinished(close);
  expect(await readHolder(sql)).toBe('Old Reed');
  const rows = await readRows(sql, []);
  expect(rows._prisma_migrations).toHaveLength(listMigrations().length);
  expect(rows.place).toHaveLength(1);
});
