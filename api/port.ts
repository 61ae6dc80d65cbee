// The port is chosen once and kept in the data folder: what a phone holds belongs to the exact address it came
// from, so a service that came back on another port would leave the phones' unsent lines behind.
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import type { Server } from 'node:http';
import { join } from 'node:path';

const FIRST_PORT = 8437;
const PORTS_TRIED_MAX = 50;

export class PortTaken extends Error {}

function readKept(file: string): number | undefined {
  if (!existsSync(file)) return undefined;
  const port = Number(readFileSync(file, 'utf8').trim());
  return Number.isInteger(port) && port >= 1 && port <= 65_535 ? port : undefined;
}

function keep(file: string, port: number): void {
  writeFileSync(`${file}.making`, `${port}\n`);
  renameSync(`${file}.making`, file);
}

/** Listens; answers false when somebody else has the port. */
function listen(server: Server, host: string, port: number): Promise<boolean> {
  return new Promise((resolve, reject) => {
    const fail = (error: NodeJS.ErrnoException): void => {
      if (error.code === 'EADDRINUSE') resolve(false);
      else reject(new PortTaken(`Tailcount cannot listen on ${host}, port ${port}: ${error.message}.`));
    };
    server.once('error', fail);
    server.listen(port, host, () => {
      server.removeListener('error', fail);
      resolve(true);
    });
  });
}

function explain(port: number, asked: boolean): PortTaken {
  return new PortTaken(
    asked
      ? `Another program listens on port ${port}. Choose another one with PORT, or stop that program.`
      : `Another program listens on port ${port}, which this outfit's phones and bookmarks know. Stop that program and ` +
          'start again. (PORT=… takes another port; what a phone has not sent yet stays with the old address.)',
  );
}

/**
 * Listens on the port that was asked for, else on the one the data folder keeps, else on the first free one from
 * 8437 up. Answers the port. Throws `PortTaken` with a sentence when it may not take another.
 */
export async function listenOnKeptPort(
  server: Server,
  host: string,
  dataFolder: string,
  asked: number | undefined,
): Promise<number> {
  const file = join(dataFolder, 'port');
  const kept = readKept(file);
  const only = asked ?? kept;
  const candidates =
    only === undefined ? Array.from({ length: PORTS_TRIED_MAX }, (_, n) => FIRST_PORT + n) : [only];
  for (const port of candidates) {
    if (!(await listen(server, host, port))) continue;
    if (kept === undefined) keep(file, port);
    return port;
  }
  throw explain(only ?? FIRST_PORT, asked !== undefined);
}
