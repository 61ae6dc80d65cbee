// The wrap sheet of a stop (#domain/wrap-sheet.ts), from the ledger as it stands: of the count that is open, or of the one
// that would be opened now, because paper is printed before the phone is dead.
import type postgres from 'postgres';
import { countAsIfOpened } from '#domain/count-as-if.ts';
import { type PlaceId, placeIdSchema, type StopId } from '#domain/ids.ts';
import { type StillOutLine, stillOut } from '#domain/still-out.ts';
import { type WrapSheet, wrapSheet } from '#domain/wrap-sheet.ts';
import type { Refusal } from '../http/problem.ts';
import { readOutfit } from '../outfit/store.ts';
import { readStops } from '../stops/store.ts';
import { readCountFacts } from './read-count.ts';
import { readFacts } from './read-facts.ts';

interface Asked {
  readonly stopId: StopId;
  readonly round: number;
  /** Which vehicle to count, where nobody has opened the count. */
  readonly vehicleId: PlaceId | undefined;
}

/** The vehicle of the latest count of any stop, else the one that holds most, directly or in its compartments. */
async function readLikelyVehicle(sql: postgres.ISql): Promise<PlaceId | null> {
  const [row] = await sql<{ id: string }[]>`
    select vehicle.id from place vehicle
    left join lateral (
      select max(o.at) as at from movement o where o.kind = 'open' and o.to_id = vehicle.id
        and not exists (select from movement v where v.voids = o.id)) counted on true
    left join lateral (
      select count(*) as things from position p join place on place.id = p.place_id
      where place.id = vehicle.id or place.parent_id = vehicle.id) held on true
    where vehicle.kind = 'vehicle'
    order by counted.at desc nulls last, held.things desc, vehicle.name, vehicle.id limit 1`;
  return row === undefined ? null : placeIdSchema.parse(row.id);
}

async function findVehicle(sql: postgres.ISql, asked: PlaceId | undefined): Promise<PlaceId | Refusal> {
  if (asked === undefined) {
    const likely = await readLikelyVehicle(sql);
    const detail = 'No vehicle is entered yet. Enter one first; its count is what the sheet asks for.';
    return likely ?? { kind: 'unknown-reference', fields: [{ pointer: '/vehicle', detail }] };
  }
  const known = await sql`select from place where id = ${asked} and kind = 'vehicle'`;
  const detail = 'names no vehicle; choose one of the outfit';
  return known.count > 0 ? asked : { kind: 'unknown-reference', fields: [{ pointer: '/vehicle', detail }] };
}

/** What somebody did not find, and nobody has found since; all lines of these things, because that may be long ago. */
async function readMissing(
  sql: postgres.ISql,
  now: number,
  dayBeganAt: number,
): Promise<readonly StillOutLine[]> {
  const rows = await sql<{ id: string }[]>`
    select distinct m.thing_id as id from movement m where m.kind = 'absence'
      and not exists (select from movement v where v.voids = m.id)`;
  const facts = await readFacts(sql, { since: 0, things: rows.map(({ id }) => id) });
  return stillOut({ ...facts, now, dayBeganAt });
}

async function readNames(sql: postgres.ISql, ids: readonly string[]): Promise<ReadonlyMap<string, string>> {
  const rows = await sql<{ id: string; name: string }[]>`
    select id, name from place where id = any(${[...new Set(ids)]}::uuid[])`;
  return new Map(rows.map(({ id, name }) => [id, name]));
}

/** The sheet as of `now` (UTC ms), or why there is none. */
export function readSheet(
  sql: postgres.Sql,
  asked: Asked,
  now: number,
): Promise<{ readonly sheet: WrapSheet } | { readonly refusal: Refusal }> {
  // One moment of the ledger, whoever writes meanwhile.
  return sql.begin('isolation level repeatable read read only', (tx) => readSheetIn(tx, asked, now));
}

async function readSheetIn(sql: postgres.ISql, { stopId, round, vehicleId: wanted }: Asked, now: number) {
  const [stop] = await readStops(sql, [stopId]);
  const outfit = await readOutfit(sql);
  if (stop === undefined || outfit === null) return { refusal: { kind: 'not-found' } as const };
  const vehicleId = await findVehicle(sql, wanted);
  if (typeof vehicleId === 'object') return { refusal: vehicleId };
  const facts = await readCountFacts(sql, stopId, round, { vehicleId, at: now });
  if (facts === null) return { refusal: { kind: 'not-found' } as const };
  const { count, isOpened } = countAsIfOpened(facts, vehicleId, now);
  const missing = await readMissing(sql, now, count.dayBeganAt);
  const names = await readNames(sql, [
    ...count.lines.flatMap(({ last, placeId, compartmentId }) => last?.placeId ?? placeId ?? compartmentId),
    ...missing.flatMap(({ placeId }) => placeId ?? []),
  ]);
  const nameOfPlace = (placeId: PlaceId) => names.get(placeId) ?? '';
  const { zone, jobName } = stop;
  const about = { outfit, jobName, zone, now, isOpened };
  return { sheet: wrapSheet({ count, stillOut: missing, nameOfPlace, ...about }) };
}
