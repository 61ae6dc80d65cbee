// Notes changes for the feed in the transaction that makes them; the numbering step gives them their numbers later.
import type { TransactionSql } from 'postgres';

export interface NotedChange {
  readonly kind: string;
  readonly ref: string;
}

/** Puts one row per change into `change_waiting`. Empty: does nothing. */
export async function noteChanges(tx: TransactionSql, changes: readonly NotedChange[]): Promise<void> {
  if (changes.length === 0) return;
  const [kinds, refs] = [changes.map(({ kind }) => kind), changes.map(({ ref }) => ref)];
  await tx`
    insert into change_waiting (kind, ref) select kind, ref from unnest(${kinds}::text[], ${refs}::text[]) as changed (kind, ref)`;
}
