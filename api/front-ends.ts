// The desk and the phone page are built on the first start and after a change of their sources, so that a second
// start is fast.
import { existsSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { type Lock, takeLock } from './database/lock.ts';
import { PROJECT_FOLDER } from './settings.ts';

const FRONT_ENDS: readonly string[] = ['web', 'scanner'];
// What both are made from besides their own folders.
const SHARED: readonly string[] = ['api/domain', 'web/look', 'package-lock.json'];
const NOT_SOURCES: ReadonlySet<string> = new Set(['dist', 'node_modules', 'generated']);
// Written last, so that a build that was killed in the middle is made again.
const STAMP = '.built';

function newestChange(path: string): number {
  const found = statSync(path, { throwIfNoEntry: false });
  if (!found?.isDirectory()) return found?.mtimeMs ?? 0;
  const inside = readdirSync(path).filter((name) => !NOT_SOURCES.has(name));
  return Math.max(found.mtimeMs, ...inside.map((name) => newestChange(join(path, name))));
}

function isBuilt(name: string): boolean {
  const stamp = statSync(join(PROJECT_FOLDER, name, 'dist', STAMP), { throwIfNoEntry: false });
  if (!stamp) return false;
  // The folder's own time changes when `dist` is made in it, so only what is inside counts.
  const own = readdirSync(join(PROJECT_FOLDER, name)).filter((entry) => !NOT_SOURCES.has(entry));
  const sources = [...own.map((entry) => join(name, entry)), ...SHARED];
  return sources.every((source) => newestChange(join(PROJECT_FOLDER, source)) <= stamp.mtimeMs);
}

/** The front ends whose built form is missing or older than its sources. */
function findUnbuilt(): readonly string[] {
  const there = FRONT_ENDS.filter((name) => existsSync(join(PROJECT_FOLDER, name, 'vite.config.ts')));
  return there.filter((name) => !isBuilt(name));
}

async function takeBuildLock(): Promise<Lock> {
  for (;;) {
    const answer = await takeLock(PROJECT_FOLDER);
    if (answer.kind === 'held') return answer.lock;
    await wait(200);
  }
}

/** Builds what `findUnbuilt` finds. Two services of one checkout wait for each other: both would write one folder. */
export async function buildWhatIsMissing(say: (line: string) => void): Promise<void> {
  if (findUnbuilt().length === 0) return;
  const lock = await takeBuildLock();
  const unbuilt = findUnbuilt();
  if (unbuilt.length > 0) say('Building the desk and the phone page, once …');
  for (const name of unbuilt) {
    try {
      await buildFrontEnds([name]);
    } catch (error) {
      // A checkout of another account, or a source with a fault: the page of the last build still serves.
      if (!existsSync(join(PROJECT_FOLDER, name, 'dist', 'index.html'))) throw error;
      say(`${name} could not be built again, so its older page is served: ${String(error)}`);
    }
  }
  await lock.release();
}

/** Builds these front ends, one after the other. */
export async function buildFrontEnds(names: readonly string[]): Promise<void> {
  const { build } = await import('vite');
  // Vite goes by this alone: a build that a test begins would else keep the libraries' slow development halves.
  const before = process.env.NODE_ENV;
  process.env.NODE_ENV = 'production';
  try {
    for (const name of names) {
      const root = join(PROJECT_FOLDER, name);
      await build({ root, configFile: join(root, 'vite.config.ts'), logLevel: 'warn' });
      writeFileSync(join(root, 'dist', STAMP), '');
    }
  } finally {
    if (before === undefined) delete process.env.NODE_ENV;
    else process.env.NODE_ENV = before;
  }
}

/** Where the built pages are. */
export const STATIC_FOLDERS = {
  web: join(PROJECT_FOLDER, 'web', 'dist'),
  scanner: join(PROJECT_FOLDER, 'scanner', 'dist'),
} satisfies Readonly<Record<string, string>>;
