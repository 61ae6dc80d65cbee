// Reads what was written off.

import type postgres from 'postgres';
import type { WriteOff } from '#domain/worth.ts';

/** Reads write-offs, the latest first, then by id. */
export async function readWriteOffs(tx: postgres.ISql, ids: readonly string[]): Promise<WriteOff[]> {
  const rows = await tx<WriteOff[]>`
    select id, thing_id as "thingId", number, to_char(on_date, 'YYYY-MM-DD') as "onDate", reason, note,
      person_id as "personId"
    from write_off where id = any(${[...ids]}::uuid[]) order by on_date desc, id desc`;
  return [...rows];
}
