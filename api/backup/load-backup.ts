// Loads a backup into an empty database whose schema is the file's: whole, or not at all.
import { buffer } from 'node:stream/consumers';
import { pipeline } from 'node:stream/promises';
import type postgres from 'postgres';
import { assert } from '#domain/invariant.ts';
import { measure, settleForms } from './copy-out.ts';
import { type FilePart, type TablePart, UnusableBackup } from './file-format.ts';
import { areEmpty, csvColumnsOf, type KeptTable, quoted, readKeptTables } from './kept-tables.ts';
import type { Backup } from './read-file.ts';
import type { OnProgress } from './write-file.ts';

type Tx = postgres.TransactionSql;

/** What is taken off while the rows come in, and put on again for all of them at once, which proves them. */
interface Held {
  readonly name: string;
  readonly table: string;
  readonly definition: string;
}

async function takeForeignKeysOff(tx: Tx): Promise<readonly Held[]> {
  const held = await tx<Held[]>`
    select quote_ident(conname) as name, conrelid::regclass::text as table, pg_get_constraintdef(oid) as definition
    from pg_constraint where contype = 'f' and connamespace = 'public'::regnamespace and conparentid = 0`;
  for (const { name, table } of held) await tx.unsafe(`alter table ${table} drop constraint ${name}`);
  return held;
}

/** Indexes that no constraint stands on: made once over all rows, they take a third of the time. */
async function takeIndexesOff(tx: Tx): Promise<readonly Held[]> {
  const held = await tx<Held[]>`
    select i.indexrelid::regclass::text as name, i.indrelid::regclass::text as table, pg_get_indexdef(i.indexrelid) as definition
    from pg_index i join pg_class c on c.oid = i.indrelid
    where c.relnamespace = 'public'::regnamespace and c.relname <> '_prisma_migrations'
      and not exists (select from pg_constraint k where k.conindid = i.indexrelid)`;
  for (const { name } of held) await tx.unsafe(`drop index ${name}`);
  return held;
}

function differs(path: string, what: string): UnusableBackup {
  return new UnusableBackup(`The backup file ${path} cannot be loaded: ${what}. Nothing was changed.`);
}

async function copyIn(
  tx: Tx,
  backup: Backup,
  part: TablePart,
  target: string,
  onRows: () => void,
): Promise<void> {
  const columns = part.columns.map(quoted).join(', ');
  const copy = tx.unsafe(`copy ${target} (${columns}) from stdin with (format csv, header match)`);
  // The driver (3.4.9) tells nobody of an error that comes after the last piece was sent, and its stream would never end:
  // the copy's own rejection is listened for instead.
  const refused = new Promise<never>((_, reject) => Object.assign(copy, { reject }));
  const into = await Promise.race([copy.writable(), refused]);
  const { stream, sum } = measure(await backup.read(part), onRows);
  try {
    await Promise.race([pipeline(stream, into), refused]);
  } catch (error) {
    stream.destroy();
    throw error;
  }
  const { sha256 } = await sum;
  if (sha256 !== part.sha256) throw differs(backup.path, `${part.entry} is not what was written`);
}

/** Rows that have a file each come in beside their table first, because their bytes may not be missing in it. */
async function loadWithFiles(
  tx: Tx,
  backup: Backup,
  part: TablePart,
  table: KeptTable,
  onRows: () => void,
): Promise<void> {
  const [name, bytes] = [quoted(table.name), quoted(table.bytesColumn ?? '')];
  await tx.unsafe(`create temporary table beside (like ${name}) on commit drop`);
  await tx.unsafe(`alter table beside alter column ${bytes} drop not null`);
  await copyIn(tx, backup, part, 'beside', onRows);
  const columns = csvColumnsOf(table).map(quoted).join(', ');
  const files = backup.manifest.files.filter((file) => file.table === table.name);
  for (const file of files) {
    await tx.unsafe(
      `insert into ${name} (${columns}, ${bytes}) select ${columns}, $2::bytea from beside where id = $1::uuid`,
      [file.id, await readFile(backup, file)],
    );
  }
  const withFile = files.map(({ id }) => id);
  await tx.unsafe(
    `insert into ${name} (${columns}) select ${columns} from beside where id <> all ($1::uuid[])`,
    [withFile],
  );
  await tx.unsafe('drop table beside');
}

async function readFile(backup: Backup, file: FilePart): Promise<Buffer> {
  const { stream, sum } = measure(await backup.read(file));
  const [bytes, { sha256 }] = await Promise.all([buffer(stream), sum]);
  if (sha256 !== file.sha256) throw differs(backup.path, `${file.entry} is not what was written`);
  return bytes;
}

async function loadTable(
  tx: Tx,
  backup: Backup,
  part: TablePart,
  tables: readonly KeptTable[],
  onRows: () => void,
): Promise<void> {
  const table = tables.find(({ name }) => name === part.table);
  if (table === undefined)
    throw differs(backup.path, `it has a table "${part.table}" that this schema has not`);
  const name = quoted(table.name);
  if (part.bytesColumn === null) await copyIn(tx, backup, part, name, onRows);
  else await loadWithFiles(tx, backup, part, table, onRows);
  const [counted] = await tx.unsafe<{ rows: number }[]>(`select count(*) as rows from ${name}`);
  if (counted?.rows !== part.rows)
    throw differs(backup.path, `${part.entry} has ${counted?.rows} rows and should have ${part.rows}`);
}

/** Numbers that the database gives out go on after the highest one that is taken. */
async function moveSequencesOn(tx: Tx): Promise<void> {
  const rows = await tx<{ sequence: string; table: string; column: string }[]>`
    select pg_get_serial_sequence(c.oid::regclass::text, a.attname) as sequence, c.oid::regclass::text as table, a.attname::text as column
    from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped
    where c.relnamespace = 'public'::regnamespace and c.relkind = 'r'
      and pg_get_serial_sequence(c.oid::regclass::text, a.attname) is not null`;
  for (const { sequence, table, column } of rows) {
    await tx.unsafe(
      `select setval('${sequence}', coalesce(max(${quoted(column)}), 0) + 1, false) from ${table}`,
    );
  }
}

/**
 * The feed begins anew, with one change of its own: no cursor that a phone has can be of this database, so every phone
 * takes a new catalogue and sends its own lines of the last 60 days again.
 */
async function beginFeed(tx: Tx): Promise<void> {
  await tx`delete from change_waiting`;
  await tx`delete from change`;
  await tx`insert into change (no, token, kind, ref) values (1, gen_random_uuid(), 'outfit', '1')`;
}

async function loadRows(tx: Tx, backup: Backup, onProgress: OnProgress): Promise<void> {
  const tables = await readKeptTables(tx);
  const parts = backup.manifest.tables;
  const all = parts.reduce((sum, { rows }) => sum + rows, 0);
  const names = tables.map(({ name }) => quoted(name));
  for (const name of names) await tx.unsafe(`alter table ${name} disable trigger user`);
  const keys = await takeForeignKeysOff(tx);
  const indexes = await takeIndexesOff(tx);
  let done = 0;
  for (const part of parts) {
    const tell = (): void => onProgress(done, all);
    await loadTable(tx, backup, part, tables, tell);
    done += part.rows;
    onProgress(done, all);
  }
  for (const { definition } of indexes) await tx.unsafe(definition);
  for (const { name, table, definition } of keys)
    await tx.unsafe(`alter table ${table} add constraint ${name} ${definition}`);
  for (const name of names) await tx.unsafe(`alter table ${name} enable trigger user`);
}

/**
 * Loads the backup in one transaction. The database must be empty and have exactly the file's migrations. Throws
 * `UnusableBackup` when it is not empty or the file is not what its manifest says; nothing is changed then.
 */
export async function loadBackup(
  sql: postgres.Sql,
  backup: Backup,
  onProgress: OnProgress = () => {},
): Promise<void> {
  await sql.begin(async (tx) => {
    await settleForms(tx);
    const isEmpty = await areEmpty(tx, await readKeptTables(tx));
    assert(isEmpty, 'a backup is loaded into an empty database');
    await loadRows(tx, backup, onProgress);
    await moveSequencesOn(tx);
    await beginFeed(tx);
  });
  await sql.unsafe('analyze');
}
