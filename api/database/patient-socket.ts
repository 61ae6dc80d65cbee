// The socket under the driver. The driver (3.4.9) forgets a socket as soon as it closes, but a transaction that goes on
// still sends on it: that ended the whole process, or left the sender waiting for ever (its issues 1154 and 1208). Here
// a closed socket stays a little, refuses what is sent on it, and only then says that it is closed.
import { connect, type Socket } from 'node:net';

/** Longer than a transaction needs from the refusal of one statement to its last one. */
const STAYS_MS = 250;

export interface Target {
  /** A socket in the file system; null or absent for TCP. */
  readonly path?: string | null | undefined;
  readonly host: readonly string[];
  readonly port: readonly number[];
}

class ConnectionLost extends Error {
  readonly code = 'ECONNRESET';
  constructor() {
    super('The connection to the database was lost.');
  }
}

/** Opens a connection for the driver's option `socket`. One that never came to stand closes as any other. */
export function openPatientSocket({ path, host, port }: Target): Socket {
  // Half open, because Node would put its own `write` over the one below when the other side ends.
  const address = path ? { path } : { host: host[0] ?? '127.0.0.1', port: port[0] ?? 5432 };
  const socket = connect({ ...address, allowHalfOpen: true });
  socket.once('end', () => socket.destroy());
  let stood = false;
  let lost = false;
  socket.once('connect', () => {
    stood = true;
  });
  const emit = socket.emit.bind(socket);
  const write = socket.write.bind(socket);
  const refuse = (): void => {
    if (socket.listenerCount('error') > 0) emit('error', new ConnectionLost());
  };
  const leave = (): void => {
    lost = true;
    refuse();
    // Behind what is about to be sent in this turn of the event loop.
    setTimeout(() => setImmediate(() => emit('close', false)), STAYS_MS);
  };
  return Object.assign(socket, {
    emit: (event: string, ...facts: readonly unknown[]): boolean => {
      if (event !== 'close' || !stood) return emit(event, ...facts);
      if (!lost) leave();
      return true;
    },
    write: (bytes: Uint8Array, sent?: (error?: Error | null) => void): boolean => {
      if (!lost) return write(bytes, sent);
      setImmediate(refuse);
      return false;
    },
  });
}
