// Tells the rest of the service that a record changed, in the transaction that changed it: the feed, and for what is
// new the lines of the ledger that have been waiting for it.
import type { Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';
import { releaseWaiting } from '../movements/store-lines.ts';

export type Announced = 'thing' | 'place' | 'class' | 'stop' | 'job' | 'person' | 'outfit';

/** Says in the feed that the record is another now. */
export async function announceChange(tx: Tx, kind: Announced, ...refs: readonly string[]): Promise<void> {
  await noteChanges(
    tx,
    refs.map((ref) => ({ kind, ref })),
  );
}

/** Says in the feed that there is a new record, and lets in the lines that named it before it was known. */
export async function announceNew(tx: Tx, kind: 'thing' | 'place' | 'stop', ref: string): Promise<void> {
  await announceChange(tx, kind, ref);
  await releaseWaiting(tx, kind, [ref]);
}
