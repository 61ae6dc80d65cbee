// Runs of clocks whose times are not sure: nobody measured them, or they had to be moved to fit (law 4).
import type postgres from 'postgres';
import type { ClockMatter } from '#domain/matter.ts';
import { readLookedAt } from './looked-at.ts';

const RUNS_MAX = 200;

/** Each run that has lines of uncertain time, the latest first. */
export async function readClockTrouble(sql: postgres.ISql): Promise<readonly ClockMatter[]> {
  const rows = await sql<Omit<ClockMatter, 'ref' | 'lookedAt' | 'isOpen'>[]>`
    select r.device_id as "deviceId", d.name as device, r.id as "runId", r.offset_ms::float8 as "offsetMs", r.measured,
      r.first_at::float8 as "firstAt", r.last_at::float8 as "lastAt", (
        select count(*)::int from movement m
        where m.at between r.first_at and r.last_at and m.device_id = r.device_id
          and m.body->>'clockRun' = r.id::text) as number
    from clock_run r join device d on d.id = r.device_id
    where r.uncertain order by r.last_at desc, r.device_id, r.id limit ${RUNS_MAX}`;
  const looked = await readLookedAt(sql, 'clock');
  return rows.map((row) => {
    const ref = `${row.deviceId}/${row.runId}`;
    const lookedAt = looked.get(ref) ?? null;
    return { ...row, ref, lookedAt, isOpen: lookedAt === null };
  });
}
