// The service as production builds it, on a free port of this machine, over a database of its own.
import type { AddressInfo } from 'node:net';
import { pino } from 'pino';
import { buildApp } from '../../api/app.ts';
import { openTestDatabase, type TestDatabase } from '../database.ts';

export type Served = {
  readonly database: TestDatabase;
  /** Asks and gives the status and the body; JSON is sent for everything but bytes. */
  readonly ask: (
    method: string,
    path: string,
    body?: unknown,
  ) => Promise<{ status: number; body: unknown; text: string; headers: Headers }>;
  readonly url: string;
  readonly stop: () => Promise<void>;
};

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}

/** `clock` is what the service takes for now, in UTC ms. */
export async function serve(clock: () => number): Promise<Served> {
  const database = await openTestDatabase();
  const app = buildApp({
    connections: database,
    clock,
    log: pino({ level: 'error' }),
    databaseState: () => 'up',
    checkAnswers: true,
    staticFolders: null,
    ownNames: [],
  });
  const server = app.listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  const address = server.address();
  const url = `http://127.0.0.1:${typeof address === 'object' && address !== null ? portOf(address) : 0}`;
  const ask: Served['ask'] = async (method, path, body) => {
    const isBytes = body instanceof Uint8Array;
    const answer = await fetch(`${url}${path}`, {
      method,
      headers:
        body === undefined
          ? {}
          : { 'content-type': isBytes ? 'application/octet-stream' : 'application/json' },
      ...(body === undefined ? {} : { body: isBytes ? Uint8Array.from(body) : JSON.stringify(body) }),
    });
    const text = await answer.text();
    return { status: answer.status, body: parsed(text), text, headers: answer.headers };
  };
  const stop = async () => {
    await new Promise((resolve) => server.close(resolve));
    await database.close();
  };
  return { database, ask, url, stop };
}

const portOf = (address: AddressInfo): number => address.port;
