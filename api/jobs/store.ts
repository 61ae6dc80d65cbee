// Reads jobs.
import type postgres from 'postgres';
import type { Job } from '#domain/place.ts';

/** Reads jobs, the latest to begin first (undated ones before them), then by id. */
export async function readJobs(tx: postgres.ISql, ids: 'all' | readonly string[]): Promise<Job[]> {
  if (ids.length === 0) return [];
  const which = ids === 'all' ? tx`true` : tx`id = any(${[...ids]}::uuid[])`;
  const rows = await tx<Job[]>`
    select id, name, party_id as "partyId", to_char(starts_on, 'YYYY-MM-DD') as "startsOn",
      to_char(ends_on, 'YYYY-MM-DD') as "endsOn", note, version
    from job where ${which} order by starts_on desc nulls first, id desc`;
  return [...rows];
}
