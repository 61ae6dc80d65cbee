// The end of the service: in order on a signal, with a sentence when it cannot start.
import { UnusableDatabase } from './database/migrate.ts';
import { PortTaken } from './port.ts';

type Closer = () => Promise<unknown>;

export type Ending = {
  /** Adds what must be closed; last added is closed first. */
  readonly atEnd: (closer: Closer) => void;
  /** Closes what is open, says why the service does not run, and ends with 1. A fault of ours keeps its trace. */
  readonly endWith: (reason: unknown) => Promise<void>;
};

const SIGNALS: readonly NodeJS.Signals[] = ['SIGINT', 'SIGTERM', 'SIGHUP'];

function isExpected(reason: unknown): boolean {
  return typeof reason === 'string' || reason instanceof UnusableDatabase || reason instanceof PortTaken;
}

/** From here on a signal ends the service in order. */
export function prepareEnding(): Ending {
  const closers: Closer[] = [];
  const closeAll = async (): Promise<void> => {
    for (const close of closers.splice(0).reverse()) {
      await close().catch((error: unknown) => console.error(String(error)));
    }
  };
  let ending = false;
  const end = async (code: number): Promise<void> => {
    if (ending) return;
    ending = true;
    await closeAll();
    process.exit(code);
  };
  for (const name of SIGNALS) process.on(name, () => end(0));
  const endWith = (reason: unknown): Promise<void> => {
    const sentence = reason instanceof Error ? reason.message : String(reason);
    if (!ending) console.error(isExpected(reason) ? sentence : reason);
    return end(1);
  };
  return {
    atEnd: (closer) => {
      closers.push(closer);
    },
    endWith,
  };
}
