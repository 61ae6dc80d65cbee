// All counts that were opened, the unfinished ones first: a count that somebody walked away from is offered again.
import type postgres from 'postgres';
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, stopIdSchema } from '#domain/ids.ts';
import { closedSumsSchema } from '#domain/movement.ts';

export const countEntrySchema = z.strictObject({
  stopId: stopIdSchema,
  stopName: z.string(),
  jobName: z.string().nullable(),
  zone: z.string(),
  round: z.int(),
  vehicleId: placeIdSchema,
  vehicleName: z.string(),
  openedAt: z.int(),
  closedAt: z.int().nullable(),
  /** As closed; null while it is open. */
  sums: closedSumsSchema.nullable(),
});
export type CountEntry = z.infer<typeof countEntrySchema>;

/** Where a page ends: open counts come before closed ones, the latest first in each. */
export const countPlaceSchema = z.strictObject({ closed: z.boolean(), at: z.int(), id: plainIdSchema });
export type CountPlace = z.infer<typeof countPlaceSchema>;

interface Row extends CountEntry {
  readonly id: string;
}

export interface CountsAsked {
  readonly after?: CountPlace | undefined;
  readonly limit: number;
  /** Only those of this stop, or of the stops of this job. */
  readonly stop?: string | undefined;
  readonly job?: string | undefined;
}

/** One page, and where the next begins. */
export async function listCounts(
  sql: postgres.Sql,
  page: CountsAsked,
): Promise<{ readonly counts: readonly CountEntry[]; readonly next: CountPlace | null }> {
  const { after, limit } = page;
  const ofStop = page.stop === undefined ? sql`` : sql`and o.stop_id = ${page.stop}`;
  const ofJob = page.job === undefined ? sql`` : sql`where job.id = ${page.job}`;
  const rows = await sql<Row[]>`
    with opened as (
      select distinct on (o.stop_id, o.round) o.id, o.stop_id, o.round, o.at, o.to_id
      from movement o where o.kind = 'open' and not exists (select from movement v where v.voids = o.id) ${ofStop}
      order by o.stop_id, o.round, o.at, o.id),
    counts as (
      select o.id, o.stop_id as "stopId", stop.name as "stopName", job.name as "jobName", stop.zone, o.round,
        o.to_id as "vehicleId", vehicle.name as "vehicleName", o.at as "openedAt", c.at as "closedAt", c.sums
      from opened o join stop on stop.id = o.stop_id left join job on job.id = stop.job_id
        join place vehicle on vehicle.id = o.to_id
        left join lateral (
          select c.at, c.body->'sums' as sums from movement c
          where c.stop_id = o.stop_id and c.round = o.round and c.kind = 'close'
            and not exists (select from movement v where v.voids = c.id)
          order by c.at, c.id limit 1) c on true ${ofJob})
    select * from counts
    where ${after === undefined ? sql`true` : sql`(("closedAt" is null), "openedAt", id) < (${!after.closed}, ${after.at}, ${after.id}::uuid)`}
    order by ("closedAt" is null) desc, "openedAt" desc, id desc limit ${limit + 1}`;
  const shown = rows.slice(0, limit);
  const last = shown.at(-1);
  return {
    counts: shown.map(({ id: _id, ...entry }) => entry),
    next:
      rows.length > limit && last ? { closed: last.closedAt !== null, at: last.openedAt, id: last.id } : null,
  };
}
