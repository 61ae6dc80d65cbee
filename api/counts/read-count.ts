// One count, computed from the ledger as it stands by the same rule as on a phone (#domain/count.ts).
import type postgres from 'postgres';
import { computeCount } from '#domain/count.ts';
import type { CountFacts } from '#domain/count-ground.ts';
import type { Count } from '#domain/count-shape.ts';
import { type PlaceId, type StopId, thingIdSchema } from '#domain/ids.ts';
import { firstKnownZone, workingDayBeganAt } from '#domain/working-day.ts';
import { readOutfit } from '../outfit/store.ts';
import { readStops } from '../stops/store.ts';
import { readConcerned } from './aboard.ts';
import { readFacts } from './read-facts.ts';

interface Opening {
  readonly at: number;
  readonly vehicleId: string;
  readonly closedThings: readonly string[] | null;
}

async function readOpening(sql: postgres.ISql, stopId: StopId, round: number): Promise<Opening | null> {
  const [opening] = await sql<Opening[]>`
    select o.at, o.to_id as "vehicleId", (
      select array(select jsonb_array_elements(c.body->'lines')->>'thingId') from movement c
      where c.stop_id = o.stop_id and c.round = o.round and c.kind = 'close'
        and not exists (select from movement v where v.voids = c.id)
      order by c.at, c.id limit 1) as "closedThings"
    from movement o
    where o.stop_id = ${stopId} and o.round = ${round} and o.kind = 'open'
      and not exists (select from movement v where v.voids = o.id)
    order by o.at, o.id limit 1`;
  return opening ?? null;
}

async function readOfStop(sql: postgres.ISql, stopId: StopId): Promise<readonly string[]> {
  const rows = await sql<{ id: string }[]>`
    select distinct thing_id as id from movement where stop_id = ${stopId} and thing_id is not null`;
  return rows.map((row) => row.id);
}

/**
 * The count of a stop and round; null while nobody opened it. A closed count looks at the things that it closed with
 * and those that its stop speaks of, so that an old one costs no more than a new one.
 */
export function readCount(sql: postgres.Sql, stopId: StopId, round: number): Promise<Count | null> {
  // One moment of the ledger, whoever writes meanwhile.
  return sql.begin('isolation level repeatable read read only', (tx) => readCountIn(tx, stopId, round));
}

async function readCountIn(sql: postgres.ISql, stopId: StopId, round: number): Promise<Count | null> {
  const facts = await readCountFacts(sql, stopId, round);
  return facts === null ? null : computeCount(facts);
}

/**
 * What the count of a stop and round is computed from, in the caller's transaction. Null for an unknown stop, and
 * while nobody opened it, unless `asIf` says for which vehicle and when it might be opened.
 */
export async function readCountFacts(
  sql: postgres.ISql,
  stopId: StopId,
  round: number,
  asIf?: { readonly vehicleId: PlaceId; readonly at: number },
): Promise<CountFacts | null> {
  const known = await readOpening(sql, stopId, round);
  const opening = known ?? (asIf === undefined ? null : { ...asIf, closedThings: null });
  const [stop] = await readStops(sql, [stopId]);
  const outfit = await readOutfit(sql);
  if (opening === null || stop === undefined || outfit === null) return null;
  const since = workingDayBeganAt(
    opening.at,
    firstKnownZone([stop.zone, outfit.zone]),
    outfit.dayTurnsMinutes,
  );
  const roots = stop.kind === 'hotel' ? [opening.vehicleId, stop.placeId] : [opening.vehicleId];
  const things =
    opening.closedThings === null
      ? await readConcerned(sql, roots, since)
      : [...new Set([...opening.closedThings, ...(await readOfStop(sql, stopId))])];
  const vehicle = thingIdSchema.parse(opening.vehicleId);
  const facts = await readFacts(sql, { since, things: [...new Set([...things, vehicle])], stopId });
  return { ...facts, stop, round, outfit };
}
