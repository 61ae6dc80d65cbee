// Reads stops with the name of their job.
import type postgres from 'postgres';
import type { StopId } from '#domain/ids.ts';
import type { Stop } from '#domain/place.ts';

/** Reads stops, the latest first, then by id. */
export async function readStops(tx: postgres.ISql, ids: 'all' | readonly StopId[]): Promise<Stop[]> {
  if (ids.length === 0) return [];
  const which = ids === 'all' ? tx`true` : tx`s.id = any(${[...ids]}::uuid[])`;
  const rows = await tx<Stop[]>`
    select s.id, s.job_id as "jobId", j.name as "jobName", s.place_id as "placeId", s.name, s.kind, s.zone,
      s.starts_at::float8 as "startsAt", s.ends_at::float8 as "endsAt", s.unnamed, s.version
    from stop s left join job j on j.id = s.job_id where ${which} order by s.starts_at desc, s.id desc`;
  return [...rows];
}
