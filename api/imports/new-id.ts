// Ids for what a list makes.
import { randomBytes } from 'node:crypto';
import { makeUuidV7 } from '#domain/ids.ts';

const RANDOM_BYTES = 16;

/** A new UUIDv7 of this time (UTC ms). */
export function newId(now: number): string {
  return makeUuidV7(now, randomBytes(RANDOM_BYTES));
}
