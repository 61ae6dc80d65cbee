// Tries a backup file out: restores it into a throw-away database on the same server, and compares everything.
import { randomBytes } from 'node:crypto';
import { Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import postgres from 'postgres';
import { openConnections } from '../database/connections.ts';
import { copyOut, measure, type Sum, settleForms } from './copy-out.ts';
import { type Manifest, UnusableBackup } from './file-format.ts';
import { type KeptTable, quoted, readKeptTables } from './kept-tables.ts';
import { openBackup, refuseDamaged } from './read-file.ts';
import { restoreInto } from './restore.ts';
import type { OnProgress } from './write-file.ts';

export type Checked =
  | { readonly kind: 'good' }
  /** Every checksum is right, but it could not be tried out. */
  | { readonly kind: 'not-checked'; readonly why: string }
  | { readonly kind: 'broken'; readonly why: string };

export interface CheckOptions {
  /** The server's database that the file was written from. */
  readonly sql: postgres.Sql;
  readonly url: string;
  /** Told before the throw-away database is made, so that one that is left behind can be found. */
  readonly onDatabase: (name: string) => Promise<void>;
  readonly onProgress: OnProgress;
}

// PostgreSQL: no right to do that; the template is being used; out of disk, memory, connections; the account's limit.
const CANNOT_MAKE: ReadonlySet<string> = new Set([
  '42501',
  '55006',
  '53100',
  '53200',
  '53300',
  '54000',
  '0A000',
]);

function sameSum(one: Sum, other: Sum): boolean {
  return one.bytes === other.bytes && one.sha256 === other.sha256;
}

async function sumTable(tx: postgres.TransactionSql, table: KeptTable): Promise<Sum> {
  const { stream, sum } = measure(await copyOut(tx, table));
  await pipeline(stream, new Writable({ write: (_piece, _encoding, done) => done() }));
  return sum;
}

async function findDifferentFiles(
  tx: postgres.TransactionSql,
  table: KeptTable,
  { files }: Manifest,
): Promise<readonly string[]> {
  if (table.bytesColumn === null) return [];
  const rows = await tx.unsafe<{ id: string; sha256: string }[]>(
    `select id, encode(sha256(${quoted(table.bytesColumn)}), 'hex') as sha256 from ${quoted(table.name)}
     where ${quoted(table.bytesColumn)} is not null`,
  );
  const sums = new Map(rows.map(({ id, sha256 }) => [id, sha256]));
  const ours = files.filter((file) => file.table === table.name);
  const different = ours.filter(({ id, sha256 }) => sums.get(id) !== sha256).map(({ entry }) => entry);
  return sums.size === ours.length ? different : [...different, `files of ${table.name}`];
}

/** The parts of which a database does not hold what the manifest says: written out again, their bytes must be the same. */
async function findDifferent(sql: postgres.Sql, manifest: Manifest): Promise<readonly string[]> {
  return sql.begin('isolation level repeatable read read only', async (tx) => {
    await settleForms(tx);
    const tables = await readKeptTables(tx);
    const different: string[] = [];
    for (const part of manifest.tables) {
      const table = tables.find(({ name }) => name === part.table);
      if (table === undefined || !sameSum(await sumTable(tx, table), part)) different.push(part.entry);
      if (table !== undefined) different.push(...(await findDifferentFiles(tx, table, manifest)));
    }
    return different;
  });
}

async function compareRestored(url: string, path: string, onProgress: OnProgress): Promise<Checked> {
  const backup = await openBackup(path);
  const { sql, close } = openConnections(url, 2);
  try {
    const mended = await restoreInto(url, backup, onProgress);
    if (mended > 0)
      return {
        kind: 'broken',
        why:
          `Where ${mended} things are is not what the ledger in the file says. The ledger itself is whole. Stop the service, ` +
          'run npm run rebuild, start it and back up again.',
      };
    const different = await findDifferent(sql, backup.manifest);
    if (different.length === 0) return { kind: 'good' };
    return { kind: 'broken', why: `What came back is not what was written, in ${different.join(', ')}.` };
  } finally {
    await close();
    backup.close();
  }
}

function urlOf(url: string, database: string): string {
  const other = new URL(url);
  other.pathname = `/${database}`;
  return other.href;
}

/** Drops a throw-away database; one that is gone, or that somebody uses, is left alone. */
export async function dropCheckDatabase(sql: postgres.Sql, name: string): Promise<void> {
  if (!/^tailcount_check_[0-9a-f]+$/.test(name)) return;
  await sql.unsafe(`drop database if exists ${quoted(name)} with (force)`).catch(() => {});
}

/** Makes the throw-away database; answers why not when the server does not let us. */
async function makeCheckDatabase(sql: postgres.Sql, name: string): Promise<string | null> {
  try {
    await sql.unsafe(`create database ${quoted(name)} template template0 encoding 'UTF8'`);
    return null;
  } catch (error) {
    if (!(error instanceof postgres.PostgresError) || !CANNOT_MAKE.has(error.code)) throw error;
    return error.code === '42501'
      ? 'The database account may not make a database to try it out in (ALTER ROLE … CREATEDB would let it).'
      : `There was no room to try it out in. The database says: ${error.message}.`;
  }
}

async function tryOut(path: string, options: CheckOptions): Promise<Checked> {
  const { sql, url, onDatabase, onProgress } = options;
  const name = `tailcount_check_${randomBytes(6).toString('hex')}`;
  await onDatabase(name);
  const why = await makeCheckDatabase(sql, name);
  if (why !== null)
    return { kind: 'not-checked', why: `It was written, and every checksum in it is right. ${why}` };
  try {
    return await compareRestored(urlOf(url, name), path, onProgress);
  } finally {
    await dropCheckDatabase(sql, name);
  }
}

/** Reads the file at `path` back, restores it beside, and compares rows, bytes and positions. */
export async function checkBackup(path: string, options: CheckOptions): Promise<Checked> {
  try {
    const backup = await openBackup(path);
    try {
      await refuseDamaged(backup);
    } finally {
      backup.close();
    }
    return await tryOut(path, options);
  } catch (error) {
    if (error instanceof UnusableBackup) return { kind: 'broken', why: error.message };
    throw error;
  }
}
