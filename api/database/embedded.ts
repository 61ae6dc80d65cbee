// The embedded PostgreSQL of one data folder: where its files are, who runs it, its password. Only under the
// data folder's lock (lock.ts).
import { createHash, randomBytes } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import pg from 'pg';
import { type Account, canEnter, chooseAccount } from './account.ts';
import { bundledMajor, findBinaries } from './binaries.ts';
import { makeCluster, nameCluster, refuseOtherMajor } from './cluster.ts';
import { UnusableDatabase } from './migrate.ts';
import { addressOf, type Cluster } from './server.ts';

const DATABASE = 'tailcount';
// Where root keeps the database when its account cannot get into the data folder.
const ELSEWHERE = '/var/lib/tailcount';

export type Embedded = {
  readonly cluster: Cluster;
  /** Set when the database's files are not in the data folder itself. */
  readonly elsewhere?: string;
};

function writeWhole(file: string, content: string, mode: number): void {
  writeFileSync(`${file}.making`, content, { mode });
  renameSync(`${file}.making`, file);
}

function readOrMake(file: string, make: () => string): string {
  if (!existsSync(file)) writeWhole(file, make(), 0o600);
  return readFileSync(file, 'utf8').trim();
}

// The choice is kept: were it made anew after somebody opened the folder, the old database would seem lost.
function chooseParent(dataFolder: string, account: Account, major: number): string {
  if (existsSync(nameCluster(dataFolder, major))) return dataFolder;
  const note = join(dataFolder, 'database-folder');
  if (existsSync(note)) return readFileSync(note, 'utf8').trim();
  if (canEnter(account, dataFolder)) return dataFolder;
  const name = createHash('sha256').update(realpathSync(dataFolder)).digest('hex').slice(0, 12);
  const parent = join(ELSEWHERE, name);
  mkdirSync(parent, { recursive: true });
  writeWhole(note, `${parent}\n`, 0o644);
  return parent;
}

// A cluster that is there belongs to the account that made it, and only that one can run it.
function chooseRunner(dataFolder: string, major: number): Account {
  const folder = nameCluster(dataFolder, major);
  if (!existsSync(folder)) return chooseAccount();
  const { uid, gid } = statSync(folder);
  const own = process.getuid?.();
  if (own === undefined || own === uid) return {};
  if (own === 0) return { uid, gid };
  throw new UnusableDatabase(
    `The database in ${folder} belongs to another account of this machine. Start Tailcount as that account, ` +
      'or as root, or choose another data folder with DATA.',
  );
}

/** Everything that must be there before the server starts; makes what is missing. Safe after a kill at any moment. */
export async function prepareEmbedded(
  dataFolder: string,
  settings: readonly string[] = [],
): Promise<Embedded> {
  const major = bundledMajor();
  const note = join(dataFolder, 'database-folder');
  const kept = existsSync(note) ? readFileSync(note, 'utf8').trim() : dataFolder;
  const account = chooseRunner(kept, major);
  const parent = realpathSync(chooseParent(dataFolder, account, major));
  refuseOtherMajor(parent, major);
  const binaries = findBinaries(account, parent);
  const password = readOrMake(join(dataFolder, 'database-password'), () => randomBytes(24).toString('hex'));
  const folder = nameCluster(parent, major);
  await makeCluster(folder, binaries, account, password);
  const cluster = {
    folder,
    binaries,
    account,
    password,
    logFile: join(dataFolder, 'database.log'),
    settings,
  };
  return parent === realpathSync(dataFolder) ? { cluster } : { cluster, elsewhere: parent };
}

/** Makes the service's own database on a server that has just started; answers its address. */
export async function ensureDatabase(cluster: Cluster, port: number): Promise<string> {
  const client = new pg.Client({ connectionString: addressOf(cluster, port, 'postgres') });
  await client.connect();
  try {
    const { rows } = await client.query('SELECT 1 FROM pg_database WHERE datname = $1', [DATABASE]);
    if (rows.length === 0) await client.query(`CREATE DATABASE ${DATABASE}`);
  } finally {
    await client.end();
  }
  return addressOf(cluster, port, DATABASE);
}
