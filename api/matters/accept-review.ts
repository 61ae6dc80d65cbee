// Lets the lines of a removed device into the ledger after all: its owner has looked at them.
import type postgres from 'postgres';
import { decide } from '../database/decide.ts';
import { releaseWaiting } from '../movements/store-lines.ts';

export interface Accepted {
  readonly accepted: number;
  /** Lines that wait for something else now. */
  readonly waiting: number;
}

/** Null where there is no such device. Lines of it that come later wait for a review again. */
export async function acceptReview(sql: postgres.Sql, deviceId: string): Promise<Accepted | null> {
  const outcome = await decide<{ accepted: Accepted | null }, never>(sql, async (tx) => {
    const [device] = await tx<{ removedAt: number | null }[]>`
      select removed_at as "removedAt" from device where id = ${deviceId} for update`;
    if (device === undefined) return { accepted: null };
    const before = await tx<{ id: string }[]>`
      select id from movement_waiting where waits_for = 'review' and ref = ${deviceId}`;
    const ids = before.map((row) => row.id);
    // The device counts as one of ours until this transaction ends; nobody else sees that it does.
    await tx`update device set removed_at = null where id = ${deviceId}`;
    await releaseWaiting(tx, 'review', [deviceId]);
    await tx`update device set removed_at = ${device.removedAt} where id = ${deviceId}`;
    const left = await tx`select from movement_waiting where id = any(${ids}::uuid[])`;
    return { accepted: { accepted: ids.length - left.count, waiting: left.count } };
  });
  if ('refusal' in outcome) return outcome.refusal;
  return outcome.accepted;
}
