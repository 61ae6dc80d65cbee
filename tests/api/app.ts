// The service as production builds it, on a database of its own, asked over HTTP. A second service on the same database
// stands for a second process.
import { createServer, request } from 'node:http';
import { pino } from 'pino';
import { type AppDeps, buildApp } from '../../api/app.ts';
import { openConnections } from '../../api/database/connections.ts';
import { openTestDatabase, type TestDatabase } from '../database.ts';

export interface Reply {
  readonly status: number;
  readonly body: Record<string, unknown>;
  readonly text: string;
  readonly headers: Headers;
}
export type Sent = { readonly headers?: Record<string, string>; readonly body?: unknown };
export type Service = Awaited<ReturnType<typeof startService>>;

const TIME_TO_ANSWER_MS = 30_000;

function bodyOf(body: unknown): { body?: Uint8Array<ArrayBuffer> | string } {
  if (body === undefined) return {};
  if (body instanceof Uint8Array) return { body: Uint8Array.from(body) };
  return { body: typeof body === 'string' ? body : JSON.stringify(body) };
}

/** Asks as a page or a phone would. A text or bytes go as they are; everything else as JSON. A stream is hung up on. */
export async function askAt(
  port: number,
  method: string,
  path: string,
  { body, headers = {} }: Sent = {},
): Promise<Reply> {
  const plain = body === undefined || typeof body === 'string' || body instanceof Uint8Array;
  const response = await fetch(`http://127.0.0.1:${port}${path}`, {
    method,
    headers: { ...(plain ? {} : { 'content-type': 'application/json' }), ...headers },
    redirect: 'manual',
    signal: AbortSignal.timeout(TIME_TO_ANSWER_MS),
    ...bodyOf(body),
  });
  const type = response.headers.get('content-type') ?? '';
  if (type.startsWith('text/event-stream')) {
    await response.body?.cancel();
    return { status: response.status, body: {}, text: '', headers: response.headers };
  }
  const text = await response.text();
  const parsed: unknown = /^application\/(problem\+)?json/.test(type) && text !== '' ? JSON.parse(text) : {};
  const record =
    typeof parsed === 'object' && parsed !== null ? Object.fromEntries(Object.entries(parsed)) : {};
  return { status: response.status, body: record, text, headers: response.headers };
}

/** Asks with headers that a browser would not let a page set, such as Host. */
export function askRaw(
  port: number,
  path: string,
  headers: Record<string, string>,
): Promise<{ readonly status: number; readonly text: string }> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, headers, setHost: false }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () =>
        resolve({ status: answer.statusCode ?? 0, text: Buffer.concat(parts).toString('utf8') }),
      );
    });
    asked.on('error', reject);
    asked.end();
  });
}

/** Starts the app on a database of its own, or on one that another service of the test serves too. */
export async function startService(
  options: Partial<AppDeps> = {},
  shared?: TestDatabase,
): Promise<{
  readonly ask: (method: string, path: string, sent?: Sent) => Promise<Reply>;
  readonly database: TestDatabase;
  readonly port: number;
  readonly close: () => Promise<void>;
}> {
  const database = shared ?? (await openTestDatabase());
  const connections = shared === undefined ? database : openConnections(database.url);
  const app = buildApp({
    connections,
    clock: Date.now,
    log: pino({ level: 'silent' }),
    databaseState: () => 'up',
    checkAnswers: true,
    staticFolders: null,
    ownNames: [],
    ...options,
  });
  const server = createServer(app);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  const close = async (): Promise<void> => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
    await connections.close();
  };
  return { ask: (method, path, sent) => askAt(port, method, path, sent), database, port, close };
}
