// Two editors who each hang one branch below the other's would make a loop that neither could see: one after the other.
import type { Tx } from './decide.ts';

const TREES = { place: 1, class: 2, built: 3 } as const;
/** The first key of our advisory locks on trees; any number that no other lock of this service uses. */
const TREE_LOCKS = 84_110;

/** Waits until no other transaction changes the shape of this tree; held to the end of the transaction. */
export async function lockTree(tx: Tx, tree: keyof typeof TREES): Promise<void> {
  await tx`select pg_advisory_xact_lock(${TREE_LOCKS}::int, ${TREES[tree]}::int)`;
}
