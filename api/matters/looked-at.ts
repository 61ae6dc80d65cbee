// Which matters somebody has looked at.
import type postgres from 'postgres';
import type { Matter } from '#domain/matter.ts';
import { OUTFIT_REF } from '../outfit/keep-outfit.ts';
import { announceChange } from '../record/announce.ts';

/** When each was looked at, by its ref. */
export async function readLookedAt(sql: postgres.ISql, matter: Matter): Promise<ReadonlyMap<string, number>> {
  const rows = await sql<{ ref: string; at: number }[]>`
    select ref, at::float8 as at from looked_at where matter = ${matter}`;
  return new Map(rows.map((row) => [row.ref, row.at]));
}

/** Marks a matter as looked at now, or as not looked at. */
export async function sayLookedAt(
  sql: postgres.Sql,
  { matter, ref }: { readonly matter: Matter; readonly ref: string },
  at: number | null,
): Promise<void> {
  await sql.begin(async (tx) => {
    if (at === null) await tx`delete from looked_at where matter = ${matter} and ref = ${ref}`;
    else
      await tx`
        insert into looked_at (matter, ref, at) values (${matter}, ${ref}, ${at})
        on conflict (matter, ref) do update set at = excluded.at`;
    await announceChange(tx, 'outfit', OUTFIT_REF);
  });
}
