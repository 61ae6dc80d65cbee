// Reads parties: people and companies that can have gear.

import type postgres from 'postgres';
import type { Party } from '#domain/party.ts';

/** Reads parties, sorted by name, id. */
export async function readParties(tx: postgres.ISql, ids: readonly string[]): Promise<Party[]> {
  const rows = await tx<Party[]>`
    select p.id, p.name, x.role, x.contact, x.email, x.phone, x.address, x.note, x.version
    from party x join place p on p.id = x.place_id where p.id = any(${[...ids]}::uuid[]) order by p.name, p.id`;
  return [...rows];
}
