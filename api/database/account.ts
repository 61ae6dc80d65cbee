// Which account of the operating system runs the embedded database: PostgreSQL refuses to run as root.
import { spawnSync } from 'node:child_process';

/** Absent ids mean: the account that runs the service itself. */
export type Account = { readonly uid?: number; readonly gid?: number };

const OWN_ACCOUNT_NAME = 'tailcount';

function findAccount(name: string): Account | undefined {
  const ids = ['-u', '-g'].map((flag) => spawnSync('id', [flag, name], { encoding: 'utf8' }));
  const [uid, gid] = ids.map((answer) =>
    answer.status === 0 ? Number.parseInt(answer.stdout, 10) : Number.NaN,
  );
  return uid === undefined || gid === undefined || Number.isNaN(uid) || Number.isNaN(gid)
    ? undefined
    : { uid, gid };
}

/**
 * The account for a new database folder: the service's own, or when root runs the service the system's
 * `postgres`, or an own system account made on the spot where there is none.
 */
export function chooseAccount(): Account {
  if (process.getuid?.() !== 0) return {};
  const existing = findAccount('postgres') ?? findAccount(OWN_ACCOUNT_NAME);
  if (existing) return existing;
  spawnSync('useradd', ['--system', '--no-create-home', '--shell', '/usr/sbin/nologin', OWN_ACCOUNT_NAME]);
  const made = findAccount(OWN_ACCOUNT_NAME);
  if (made) return made;
  throw new Error(
    'PostgreSQL refuses to run as root, and no system account could be made for it. ' +
      'Start Tailcount as an ordinary user, or make an account called "postgres".',
  );
}

/** Can that account enter this folder? A folder below one that only root may enter cannot hold the database. */
export function canEnter(account: Account, folder: string): boolean {
  const shell = spawnSync('sh', ['-c', 'cd -- "$1"', 'sh', folder], { ...account, cwd: '/' });
  return shell.status === 0;
}
