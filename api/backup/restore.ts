// Gives an outfit back: a backup file into an empty database, of whatever version of PostgreSQL.
import postgres from 'postgres';
import { openConnections } from '../database/connections.ts';
import { listMigrations, migrate } from '../database/migrate.ts';
import { isDatabaseAway } from '../database/state.ts';
import { rebuildCache } from '../movements/rebuild-cache.ts';
import { UnusableBackup } from './file-format.ts';
import { areEmpty, readKeptTables } from './kept-tables.ts';
import { loadBackup } from './load-backup.ts';
import type { Backup } from './read-file.ts';
import type { OnProgress } from './write-file.ts';

const CONNECTIONS = 2;

/** Throws when the file's schema has migrations that this program does not know. */
export function refuseNewerSchema({ path, manifest }: Backup): void {
  const known = new Set(listMigrations());
  const foreign = manifest.migrations.filter((name) => !known.has(name));
  if (foreign.length === 0) return;
  throw new UnusableBackup(
    `${path} was written by a newer Tailcount (it has ${foreign.join(', ')}). Install that newer Tailcount here, and restore with it.`,
  );
}

async function isThere(sql: postgres.Sql, table: string): Promise<boolean> {
  const [row] = await sql<
    { there: boolean }[]
  >`select to_regclass(${`public.${table}`}) is not null as there`;
  return row?.there ?? false;
}

/** Whose outfit the database holds; null while there is nothing in it. */
export async function readHolder(sql: postgres.Sql): Promise<string | null> {
  if (!(await isThere(sql, '_prisma_migrations'))) return null;
  const tables = await readKeptTables(sql);
  if (tables.length === 0 || (await areEmpty(sql, tables))) return null;
  const [outfit] = await sql<{ name: string }[]>`select name from outfit where id = 1`;
  return outfit?.name ?? 'an outfit without a name';
}

async function refuseFull(sql: postgres.Sql, backup: Backup): Promise<void> {
  const holder = await readHolder(sql);
  if (holder === null) return;
  throw new UnusableBackup(
    `There is something here already: "${holder}". A backup is restored into an empty data folder, so that nothing is ` +
      `overwritten. Name another folder: DATA=data/restored PORT=8500 npm start -- --restore ${backup.path}`,
  );
}

/** An empty database that an earlier or a later start made has tables of another schema: these are made anew. */
async function clearOtherSchema(sql: postgres.Sql, names: readonly string[]): Promise<void> {
  if (!(await isThere(sql, '_prisma_migrations'))) return;
  const rows = await sql<{ name: string }[]>`
    select migration_name as name from _prisma_migrations where rolled_back_at is null order by migration_name collate "C"`;
  if (rows.length === names.length && rows.every(({ name }, at) => name === names[at])) return;
  await sql.begin(async (tx) => {
    await tx`drop schema public cascade`;
    await tx`create schema public`;
  });
}

/** What the database says about a file that does not fit is for the person; a database that went away is not the file's fault. */
function inWords(error: unknown, backup: Backup): unknown {
  if (!(error instanceof postgres.PostgresError) || isDatabaseAway(error)) return error;
  return new UnusableBackup(
    `The backup file ${backup.path} cannot be loaded. The database says: ${error.message}. Nothing was changed.`,
    { cause: error },
  );
}

/**
 * Restores into the database at `url`: the file's schema, its rows, then what the schema has gained since. Positions and
 * numbers are made anew from the ledger and compared; answers how many of the file's were not what the ledger says.
 * Throws `UnusableBackup` when the database is not empty or the file does not fit; nothing is changed then.
 */
export async function restoreInto(
  url: string,
  backup: Backup,
  onProgress: OnProgress = () => {},
): Promise<number> {
  refuseNewerSchema(backup);
  const names = [...backup.manifest.migrations].sort();
  const { sql, close } = openConnections(url, CONNECTIONS);
  try {
    await refuseFull(sql, backup);
    await clearOtherSchema(sql, names);
    await migrate(url, names);
    await loadBackup(sql, backup, onProgress);
    await migrate(url);
    const { mended } = await rebuildCache(sql);
    return mended;
  } catch (error) {
    throw inWords(error, backup);
  } finally {
    await close();
  }
}
