// One service per data folder: a local socket that listens as long as its process lives. The operating system
// takes it away with the process, so nothing stale is left to remove by hand, and whoever comes second can ask
// where the first one is.
import { createHash } from 'node:crypto';
import { realpathSync, rmSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

export type Lock = {
  /** What a second start is told. */
  readonly sayAddress: (address: string) => void;
  readonly release: () => Promise<void>;
};

export type LockAnswer =
  | { readonly kind: 'held'; readonly lock: Lock }
  /** Another process holds it; `address` is empty while that one is still starting. */
  | { readonly kind: 'taken'; readonly address: string };

const ASK_MS_MAX = 2_000;
const ATTEMPTS_MAX = 5;

// Linux and Windows have names outside the file system, which cannot be left behind. Elsewhere it is a file.
function nameSocket(folder: string): string {
  const name = `tailcount-${createHash('sha256').update(realpathSync(folder)).digest('hex').slice(0, 24)}`;
  if (process.platform === 'linux') return `\0${name}`;
  return process.platform === 'win32' ? `\\\\?\\pipe\\${name}` : join(tmpdir(), `${name}.sock`);
}

function listen(name: string, answer: () => string): Promise<Server | undefined> {
  const server = createServer((socket) => {
    socket.on('error', () => {}); // Whoever asked went away.
    socket.end(answer());
  });
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) =>
      error.code === 'EADDRINUSE' ? resolve(undefined) : reject(error),
    );
    server.listen(name, () => resolve(server));
  });
}

/** What the holder says, or undefined when nobody is there any more. */
function ask(name: string): Promise<string | undefined> {
  return new Promise((resolve) => {
    const socket = connect(name);
    let said = '';
    socket.setTimeout(ASK_MS_MAX, () => {
      socket.destroy();
      resolve(said); // Somebody holds it and is too busy to say more.
    });
    socket.on('data', (part) => {
      said += part.toString('utf8');
    });
    socket.once('error', () => resolve(undefined));
    socket.once('end', () => resolve(said));
  });
}

function hold(server: Server, say: (address: string) => void): Lock {
  server.unref();
  return {
    sayAddress: say,
    release: () => new Promise((resolve) => server.close(() => resolve())),
  };
}

/** Takes the lock of the data folder (which must exist), or says who has it. */
export async function takeLock(folder: string): Promise<LockAnswer> {
  const name = nameSocket(folder);
  let address = '';
  for (let attempt = 0; attempt < ATTEMPTS_MAX; attempt += 1) {
    const server = await listen(name, () => address);
    if (server) {
      const say = (known: string): void => {
        address = known;
      };
      return { kind: 'held', lock: hold(server, say) };
    }
    const said = await ask(name);
    if (said !== undefined) return { kind: 'taken', address: said };
    // Nobody answers: a socket file of a process that is gone, or the holder is just leaving.
    if (!name.startsWith('\0')) rmSync(name, { force: true });
    await wait(100);
  }
  return { kind: 'taken', address: '' };
}
