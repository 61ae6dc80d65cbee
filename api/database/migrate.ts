// Brings a database to the state this program needs, or says in one sentence why it cannot be used.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import pg from 'pg';
import { assert } from '#domain/invariant.ts';
import { applyMigrations, isOneTransaction, LOCK_OF_ONE_MIGRATION, type Migration } from './schema-engine.ts';

const VERSION_MIN = 150_000;
const FOLDER = fileURLToPath(new URL('../../prisma/', import.meta.url));
// Any number will do, as long as nobody else uses it in this database: "tail" in ASCII.
const LOCK = 0x7461696c;

/** Said to the person who starts the service, as it stands. */
export class UnusableDatabase extends Error {}

/** The names of the migrations that this program knows, oldest first. */
export function listMigrations(): readonly string[] {
  const entries = readdirSync(join(FOLDER, 'migrations'), { withFileTypes: true });
  return entries
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort();
}

function readMigrations(names: readonly string[]): readonly Migration[] {
  return names.map((name) => {
    const script = readFileSync(join(FOLDER, 'migrations', name, 'migration.sql'), 'utf8');
    assert(isOneTransaction(script), `the migration ${name} is one transaction, from BEGIN to COMMIT`);
    return { name, script };
  });
}

async function refuseUnusable(client: pg.PoolClient): Promise<void> {
  const { rows } = await client.query(
    "SELECT current_setting('server_version_num')::int AS number, current_setting('server_version') AS name, " +
      "current_setting('server_encoding') AS encoding, current_database() AS database",
  );
  const { number, name, encoding, database } = rows[0];
  if (number < VERSION_MIN) {
    throw new UnusableDatabase(
      `The database runs PostgreSQL ${name}. Tailcount needs PostgreSQL 15 or later.`,
    );
  }
  if (encoding !== 'UTF8') {
    throw new UnusableDatabase(
      `The database "${database}" keeps its text as ${encoding}. Tailcount needs UTF8, or names beyond plain ` +
        "Latin letters would be lost. Make a new one: CREATE DATABASE tailcount TEMPLATE template0 ENCODING 'UTF8'.",
    );
  }
}

async function refuseNewer(client: pg.PoolClient, known: readonly Migration[]): Promise<void> {
  const { rows } = await client.query(
    'SELECT migration_name FROM _prisma_migrations WHERE rolled_back_at IS NULL',
  );
  const names = new Set(known.map(({ name }) => name));
  const foreign = rows.map((row) => String(row.migration_name)).filter((name) => !names.has(name));
  if (foreign.length === 0) return;
  throw new UnusableDatabase(
    `This database was last used by a newer Tailcount (it has ${foreign.join(', ')}). ` +
      'Start that newer version again; this one would not understand what it wrote.',
  );
}

async function refuseForeign(client: pg.PoolClient): Promise<void> {
  const { rows } = await client.query(
    "SELECT relname FROM pg_class JOIN pg_namespace n ON n.oid = relnamespace WHERE nspname = 'public' AND relkind IN ('r', 'p') LIMIT 1",
  );
  if (rows.length === 0) return;
  throw new UnusableDatabase(
    `The database holds tables that are not Tailcount's ("${rows[0].relname}"). Give Tailcount an empty database.`,
  );
}

// A migration that did not finish left nothing behind, because it and the word "finished" are one transaction.
// It is marked as rolled back, and is applied again.
async function prepareHistory(client: pg.PoolClient, known: readonly Migration[]): Promise<void> {
  const { rows } = await client.query("SELECT to_regclass('public._prisma_migrations') IS NOT NULL AS there");
  if (!rows[0].there) return refuseForeign(client);
  await refuseNewer(client, known);
  await client.query('SELECT pg_advisory_lock($1)', [LOCK_OF_ONE_MIGRATION]);
  await client.query(
    'UPDATE _prisma_migrations SET rolled_back_at = now() WHERE finished_at IS NULL AND rolled_back_at IS NULL',
  );
  await client.query('SELECT pg_advisory_unlock($1)', [LOCK_OF_ONE_MIGRATION]);
}

/**
 * Checks the database at `url` and applies the migrations it lacks; answers their names. Two at once wait for
 * each other. Throws `UnusableDatabase` for one that is too old, not UTF8, somebody else's, or newer than we are.
 * `names`: only these, for a backup of an earlier schema.
 */
export async function migrate(
  url: string,
  names: readonly string[] = listMigrations(),
): Promise<readonly string[]> {
  const migrations = readMigrations(names);
  const schema = readFileSync(join(FOLDER, 'schema.prisma'), 'utf8');
  // A pool of its own, ended below: the engine leaves its advisory lock on a connection of it.
  const pool = new pg.Pool({ connectionString: url, max: 4, application_name: 'tailcount migrations' });
  pool.on('error', () => {}); // Lost while idle: the next query says so.
  try {
    const guard = await pool.connect();
    try {
      await refuseUnusable(guard);
      await guard.query('SELECT pg_advisory_lock($1)', [LOCK]);
      await prepareHistory(guard, migrations);
      return await applyMigrations(pool, schema, migrations);
    } finally {
      guard.release(true);
    }
  } finally {
    await pool.end();
  }
}
