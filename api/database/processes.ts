// Finds and ends what a killed service left behind: a PostgreSQL that still runs in a folder of ours. A number
// in a pid file proves nothing, since it may name any process by now; a process counts only if it is PostgreSQL
// and works in that very folder.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, readlinkSync } from 'node:fs';
import { sep } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

const PROGRAMS: readonly string[] = ['postgres', 'initdb'];

function readOrEmpty(read: () => string): string {
  try {
    return read();
  } catch {
    return ''; // The process ended in between, or is somebody else's.
  }
}

function worksIn(pid: string, folder: string): boolean {
  const name = readOrEmpty(() => readFileSync(`/proc/${pid}/comm`, 'utf8')).trim();
  if (!PROGRAMS.includes(name)) return false;
  const at = readOrEmpty(() => readlinkSync(`/proc/${pid}/cwd`));
  if (at === folder || at.startsWith(folder + sep)) return true;
  return readOrEmpty(() => readFileSync(`/proc/${pid}/cmdline`, 'utf8')).includes(folder);
}

/** The PostgreSQL processes that work in the folder (a real path, without symbolic links). */
export function processesIn(folder: string): readonly number[] {
  if (existsSync('/proc/self/comm')) {
    const pids = readdirSync('/proc').filter((name) => /^\d+$/.test(name));
    return pids.filter((pid) => worksIn(pid, folder)).map(Number);
  }
  const list = spawnSync('ps', ['-axo', 'pid=,command='], { encoding: 'utf8' }).stdout ?? '';
  const lines = list
    .split('\n')
    .filter((line) => line.includes(folder) && /\b(postgres|initdb)\b/.test(line));
  return lines.map((line) => Number.parseInt(line, 10));
}

function signal(pids: readonly number[], name: NodeJS.Signals): void {
  for (const pid of pids) {
    readOrEmpty(() => String(process.kill(pid, name)));
  }
}

/**
 * Ends every PostgreSQL process in the folder, politely first. What was committed is safe whichever way they
 * end: the next start replays the write-ahead log.
 */
export async function endProcessesIn(folder: string): Promise<void> {
  const steps: readonly (readonly [NodeJS.Signals, number])[] = [
    ['SIGINT', 5_000],
    ['SIGQUIT', 5_000],
    ['SIGKILL', 10_000],
  ];
  for (const [name, patienceMs] of steps) {
    signal(processesIn(folder), name);
    for (let waitedMs = 0; waitedMs < patienceMs; waitedMs += 50) {
      if (processesIn(folder).length === 0) return;
      await wait(50);
    }
  }
  throw new Error(`A PostgreSQL process still runs in ${folder} and does not end.`);
}
