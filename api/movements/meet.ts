// A line that waits for something, and that something, may be written at the same moment by two transactions that do
// not see each other: the one would wait forever for what is there. So whatever arrives says so with a shared lock before
// it looks at what waits, and whatever must wait takes the lock alone and looks once more.
import type { Tx } from '../database/decide.ts';

/** Any number that no other lock of this service uses. */
const MEETING_LOCK = 843_711_206;

/** Before looking at what waits. Those who arrive do not hinder each other. Held to the end of the transaction. */
export async function sayArrival(tx: Tx): Promise<void> {
  await tx`select pg_advisory_xact_lock_shared(${MEETING_LOCK})`;
}

/** Before looking the last time for what has not arrived: whoever arrived before is seen then, whoever comes sees us. */
export async function awaitArrivals(tx: Tx): Promise<void> {
  await tx`select pg_advisory_xact_lock(${MEETING_LOCK})`;
}
