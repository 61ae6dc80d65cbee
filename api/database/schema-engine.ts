// Prisma's own schema engine as WebAssembly from its npm package: it applies the migration folders and keeps
// Prisma's table of them, and nothing is downloaded. `prisma migrate deploy` elsewhere sees the same history.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { PrismaPg } from '@prisma/adapter-pg';
import { bindSqlAdapterFactory, type SqlDriverAdapter } from '@prisma/driver-adapter-utils';
import type pg from 'pg';
import { assert } from '#domain/invariant.ts';

// Node has it, and the types of a program without a browser do not say so.
declare const WebAssembly: {
  instantiate(
    program: Uint8Array,
    imports: Readonly<Record<string, object>>,
  ): Promise<{ readonly instance: { readonly exports: Readonly<Record<string, unknown>> } }>;
};

export type Migration = { readonly name: string; readonly script: string };

// The engine never clears the timer of its lock, which would hold a process that is done for 10 s more.
function quietTimers(names: readonly string[]): Readonly<Record<string, object>> {
  const start = (then: () => void, delayMs: number): NodeJS.Timeout => setTimeout(then, delayMs).unref();
  const timers = names.filter((name) => name.startsWith('__wbg_setTimeout_'));
  return Object.fromEntries(timers.map((name) => [name, start]));
}

async function startEngine() {
  const glue = await import('@prisma/schema-engine-wasm/schema_engine_bg');
  const program = createRequire(import.meta.url)
    .resolve('@prisma/schema-engine-wasm')
    .replace(/schema_engine\.js$/, 'schema_engine_bg.wasm');
  const { instance } = await WebAssembly.instantiate(readFileSync(program), {
    './schema_engine_bg.js': { ...glue, ...quietTimers(Object.keys(glue)) },
  });
  glue.__wbg_set_wasm(instance.exports);
  const start = instance.exports.__wbindgen_start;
  assert(typeof start === 'function', 'the schema engine has its start function');
  start();
  return glue;
}

// Its glue keeps one memory per process: started a second time it would read the first one's.
let started: ReturnType<typeof startEngine> | undefined;

function loadEngine(): ReturnType<typeof startEngine> {
  started ??= startEngine();
  return started;
}

// The engine says "finished" in a statement of its own, after the migration. Killed between the two, it would
// find a migration that is there and not finished, and refuse every later start. So the word goes into the
// migration's own transaction: both are there or neither.
const SAY_FINISHED = `
DO $finished$ BEGIN
  UPDATE _prisma_migrations SET finished_at = now() WHERE finished_at IS NULL AND rolled_back_at IS NULL;
  IF NOT FOUND THEN RAISE EXCEPTION 'another start of the service has taken this migration over'; END IF;
END $finished$;
COMMIT;`;

/**
 * Held by each migration's own transaction. The server finishes a script whose sender was killed, so whoever
 * looks at the history takes this lock first, and looks when that one is over.
 */
export const LOCK_OF_ONE_MIGRATION = 0x7461696d;

const WAIT_FOR_TURN = `BEGIN;
SELECT pg_advisory_xact_lock(${LOCK_OF_ONE_MIGRATION});`;

const TRANSACTION = /^(?:\s|--.*\n)*BEGIN;([\s\S]*)COMMIT;\s*$/;

/** Is the whole script one transaction? One that is not would leave half its tables when it is killed. */
export function isOneTransaction(script: string): boolean {
  return TRANSACTION.test(script);
}

// The adapter's own way cuts a script at every semicolon, also inside a function's body.
async function runWhole(pool: pg.Pool, script: string): Promise<void> {
  const client = await pool.connect();
  try {
    const whole = script.replace(/BEGIN;/, WAIT_FOR_TURN).replace(/COMMIT;\s*$/, () => SAY_FINISHED);
    await client.query(isOneTransaction(script) ? whole : script);
  } finally {
    await client.query('ROLLBACK').catch(() => {}); // Only says "no transaction" after a success.
    client.release();
  }
}

class MigrationFailed extends Error {}

/** Applies what is not applied yet, oldest first; answers the names. Throws the database's own sentence. */
export async function applyMigrations(
  pool: pg.Pool,
  schema: string,
  migrations: readonly Migration[],
): Promise<readonly string[]> {
  const glue = await loadEngine();
  const plain = new PrismaPg(pool);
  let failure: unknown;
  const connect = async (): Promise<SqlDriverAdapter> => {
    const adapter = await plain.connect();
    adapter.executeScript = (script) =>
      runWhole(pool, script).catch((error: unknown) => {
        failure = error;
        throw error;
      });
    return adapter;
  };
  const factory = bindSqlAdapterFactory({
    provider: plain.provider,
    adapterName: plain.adapterName,
    connect,
  });
  try {
    const engine = await glue.SchemaEngine.new({ datamodels: [['schema.prisma', schema]] }, () => {}, {
      ...factory,
      connectToShadowDb: connect,
    });
    const answer = await engine.applyMigrations({
      filters: { externalTables: [], externalEnums: [] },
      migrationsList: {
        baseDir: 'prisma/migrations',
        lockfile: { path: './migration_lock.toml', content: 'provider = "postgresql"' },
        shadowDbInitScript: '',
        migrationDirectories: migrations.map(({ name, script }) => ({
          path: name,
          migrationFile: { path: 'migration.sql', content: { tag: 'ok', value: script } },
        })),
      },
    });
    return answer.appliedMigrationNames;
  } catch (error) {
    throw new MigrationFailed(`The database could not be brought up to date: ${String(failure ?? error)}`, {
      cause: failure ?? error,
    });
  }
}
