// Whether the database can be asked just now. The app answers 503 with Retry-After while it cannot.
export type DatabaseState = 'up' | 'down';

// PostgreSQL: connection lost (08…), shutting down, crashed, starting up. Node: the socket. The driver and
// Prisma: words of their own for the same.
const SQL_STATE = /^(08\w{3}|57P0[123])$/;
const CODES: ReadonlySet<string> = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'EPIPE',
  'ETIMEDOUT',
  'CONNECTION_CLOSED',
  'CONNECTION_DESTROYED',
  'CONNECTION_ENDED',
  'CONNECT_TIMEOUT',
  'P1001',
  'P1002',
  'P1008',
  'P1017',
  'DatabaseNotReachable',
  'ConnectionClosed',
  'SocketTimeout',
]);

function codesOf(error: object): readonly unknown[] {
  return [
    'code' in error && error.code,
    'originalCode' in error && error.originalCode,
    'kind' in error && error.kind,
  ];
}

/** Did this error come from a database that went away, rather than from what it was asked? Looks at the causes too. */
export function isDatabaseAway(error: unknown): boolean {
  let at: unknown = error;
  for (let depth = 0; depth < 5 && typeof at === 'object' && at !== null; depth += 1) {
    const codes = codesOf(at).filter((code) => typeof code === 'string');
    if (codes.some((code) => CODES.has(code) || SQL_STATE.test(code))) return true;
    const meta = 'meta' in at ? at.meta : undefined;
    const fromAdapter =
      typeof meta === 'object' && meta !== null && 'driverAdapterError' in meta
        ? meta.driverAdapterError
        : undefined;
    at = fromAdapter ?? ('cause' in at ? at.cause : undefined);
  }
  return false;
}
