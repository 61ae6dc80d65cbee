// Reads sundries: estimated lumps of value for a compartment or a class.

import type postgres from 'postgres';
import type { Sundries } from '#domain/worth.ts';

/** Reads sundries, sorted by description, id. */
export async function readSundries(tx: postgres.ISql, ids: readonly string[]): Promise<Sundries[]> {
  const rows = await tx<Sundries[]>`
    select id, place_id as "placeId", class_id as "classId", description, amount_minor::float8 as "amountMinor",
      currency, to_char(on_date, 'YYYY-MM-DD') as "onDate", version
    from sundries where id = any(${[...ids]}::uuid[]) order by description, id`;
  return [...rows];
}
