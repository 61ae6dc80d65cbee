// A database for each test file: its own clone of one migrated template (tests/global-setup.ts makes that).
import { randomBytes } from 'node:crypto';
import pg from 'pg';
import { inject } from 'vitest';
import { type Connections, openConnections } from '../api/database/connections.ts';

export type TestDatabase = Connections & { readonly url: string };

declare module 'vitest' {
  interface ProvidedContext {
    /** The address of the test server's maintenance database. */
    databaseServer: string;
    /** The name of the migrated database to clone. */
    databaseTemplate: string;
  }
}

async function runOnServer(statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: inject('databaseServer') });
  await client.connect();
  try {
    await client.query(statement);
  } finally {
    await client.end();
  }
}

/** The address of a database on the test server. */
export function urlOfTestDatabase(name: string): string {
  const url = new URL(inject('databaseServer'));
  url.pathname = `/${name}`;
  return url.href;
}

/** A new database, migrated and empty, for this test file alone; `close` drops it. */
export async function openTestDatabase(): Promise<TestDatabase> {
  const template = inject('databaseTemplate');
  const name = `${template}_${randomBytes(6).toString('hex')}`;
  await runOnServer(`CREATE DATABASE "${name}" TEMPLATE "${template}"`);
  const url = urlOfTestDatabase(name);
  const connections = openConnections(url);
  const close = async (): Promise<void> => {
    await connections.close();
    await runOnServer(`DROP DATABASE IF EXISTS "${name}" WITH (FORCE)`);
  };
  return { ...connections, url, close };
}
