// Makes the embedded database's folder, once. It is made under another name and renamed when it is whole: one
// that was killed in the middle starts, and is broken.
import { spawn } from 'node:child_process';
import { chownSync, existsSync, mkdirSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import type { Account } from './account.ts';
import type { Binaries } from './binaries.ts';
import { UnusableDatabase } from './migrate.ts';
import { endProcessesIn } from './processes.ts';

export const USER = 'tailcount';

const CLUSTER = /^postgres-(\d+)$/;

// Never the shell's locale: without LANG the database would be SQL_ASCII, and search would break beyond ASCII.
const LOCALE: readonly string[] = [
  '--encoding=UTF8',
  '--locale-provider=builtin',
  '--builtin-locale=C.UTF-8',
  '--locale=C',
];
// What a letter is outside the builtin provider; not every system has this one.
const LETTERS = '--lc-ctype=C.UTF-8';

/** The environment of the database's programs: nothing of the shell's that would change what they do. */
export const PROGRAM_ENVIRONMENT: Readonly<Record<string, string>> = {
  PATH: process.env.PATH ?? '',
  LC_ALL: 'C',
  TZ: 'UTC',
  ...(process.env.SystemRoot ? { SystemRoot: process.env.SystemRoot } : {}),
};

/** The cluster's folder in `parent`, named by the version that made it: another version cannot read it. */
export function nameCluster(parent: string, major: number): string {
  return join(parent, `postgres-${major}`);
}

/** Refuses a data folder that only holds the database of another major version. */
export function refuseOtherMajor(parent: string, major: number): void {
  if (!existsSync(parent) || existsSync(nameCluster(parent, major))) return;
  const other = readdirSync(parent).find((name) => CLUSTER.test(name));
  if (other === undefined) return;
  throw new UnusableDatabase(
    `The data in ${join(parent, other)} was written by PostgreSQL ${CLUSTER.exec(other)?.[1]}, and this Tailcount ` +
      `brings PostgreSQL ${major}. Start the Tailcount that wrote it, save a backup file there, and bring that in here.`,
  );
}

type Attempt = { readonly code: number | null; readonly said: string };

async function runInitdb(program: string, options: readonly string[], account: Account): Promise<Attempt> {
  const child = spawn(program, options, {
    ...account,
    cwd: '/',
    env: PROGRAM_ENVIRONMENT,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const ended = new Promise<number | null>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', resolve);
  });
  const [said, code] = await Promise.all([text(child.stderr), ended]);
  return { code, said };
}

function makeOwnFolder(folder: string, account: Account): void {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { mode: 0o700 });
  if (account.uid !== undefined && account.gid !== undefined) chownSync(folder, account.uid, account.gid);
}

/** Makes the cluster in `folder` unless it is there. Only under the data folder's lock: two at once destroy both. */
export async function makeCluster(
  folder: string,
  binaries: Binaries,
  account: Account,
  password: string,
): Promise<void> {
  if (existsSync(folder)) return;
  const making = `${folder}.making`;
  await endProcessesIn(making);
  let attempt: Attempt = { code: null, said: '' };
  for (const options of [[...LOCALE, LETTERS], LOCALE]) {
    makeOwnFolder(making, account);
    const passwordFile = join(making, 'password');
    const data = join(making, 'data');
    makeOwnFolder(data, account);
    writeFileSync(passwordFile, password, { mode: 0o600 });
    if (account.uid !== undefined && account.gid !== undefined) {
      chownSync(passwordFile, account.uid, account.gid);
    }
    const fixed = [
      `--pgdata=${data}`,
      `--username=${USER}`,
      `--pwfile=${passwordFile}`,
      '--auth=scram-sha-256',
    ];
    attempt = await runInitdb(binaries.initdb, [...fixed, ...options], account);
    if (attempt.code === 0) {
      renameSync(data, folder);
      rmSync(making, { recursive: true, force: true });
      return;
    }
  }
  throw new Error(`The database could not be set up in ${folder}: ${attempt.said.trim()}`);
}
