// Lines of the ledger as rows: the columns that the database looks at, and the line as the device wrote it, whole.
import type postgres from 'postgres';
import type { z } from 'zod';
import type { recordedSchema } from '#domain/feed.ts';
import { type Movement, movementSchema, type Recorded } from '#domain/movement.ts';

export interface TimedLine {
  readonly line: Movement;
  readonly at: number;
  readonly timeUncertain: boolean;
  readonly receivedAt: number;
  /**
   * The thing that an unknown code turned out to be, or the one that the named entry was merged into; null where the line
   * names its thing itself, or nothing.
   */
  readonly tiedTo: string | null;
}

/** The columns of a line, as `insertLines` sends them. */
export function rowOf({ line, at, timeUncertain, receivedAt, tiedTo }: TimedLine) {
  return {
    id: line.id,
    kind: line.kind,
    thing_id: tiedTo ?? ('thingId' in line ? line.thingId : null),
    code: 'code' in line ? line.code : null,
    from_id: 'fromId' in line ? line.fromId : null,
    to_id: line.kind === 'open' ? line.vehicleId : 'toId' in line ? line.toId : null,
    number: 'number' in line ? line.number : null,
    voids: line.kind === 'void' ? line.voids : null,
    stop_id: line.stopId,
    round: line.round,
    at,
    time_uncertain: timeUncertain,
    device_id: line.deviceId,
    device_no: line.deviceNo,
    person_id: line.personId,
    received_at: receivedAt,
    body: line,
  };
}

/** Inserts lines in the order of their ids and notes each for the feed; the ids of those that were not there before. */
export async function insertLines(
  tx: postgres.ISql,
  lines: readonly TimedLine[],
): Promise<ReadonlySet<string>> {
  const rows = await tx<{ id: string }[]>`
    with stored as (
      insert into movement (id, kind, thing_id, code, from_id, to_id, number, voids, stop_id, round, at, time_uncertain,
        device_id, device_no, person_id, received_at, body)
      select id, kind, thing_id, code, from_id, to_id, number, voids, stop_id, round, at, time_uncertain,
        device_id, device_no, person_id, received_at, body
      from jsonb_to_recordset(${tx.json(lines.map(rowOf))}) as line (
        id uuid, kind text, thing_id uuid, code text, from_id uuid, to_id uuid, number int, voids uuid, stop_id uuid,
        round int, at bigint, time_uncertain boolean, device_id uuid, device_no int, person_id uuid, received_at bigint,
        body jsonb)
      order by id on conflict (id) do nothing returning id),
    noted as (insert into change_waiting (kind, ref) select 'movement', id::text from stored)
    select id from stored`;
  return new Set(rows.map((row) => row.id));
}

export interface LineRow {
  readonly body: unknown;
  readonly thingId: string | null;
  readonly at: number;
  readonly timeUncertain: boolean;
}

/**
 * A row as a line with its effective time. The line of an unknown code names the thing it was tied to, and one of an
 * entry that was merged away before it came names the one that stays.
 */
export function recordedOf(row: LineRow): Recorded {
  const line = movementSchema.parse(row.body);
  const isTied =
    row.thingId !== null && line.kind !== 'void' && 'thingId' in line && line.thingId !== row.thingId;
  const tied = isTied ? movementSchema.parse({ ...line, thingId: row.thingId }) : line;
  return { ...tied, at: row.at, timeUncertain: row.timeUncertain };
}

/** The same on the wire (feed.ts): the line, and its time beside it. */
export function wireOf(row: LineRow): z.infer<typeof recordedSchema> {
  const { at, timeUncertain, ...line } = recordedOf(row);
  return { line, at, timeUncertain };
}

/** A move as a position (#domain/book.ts); the movement is called m. */
export function positionColumns(sql: postgres.ISql): postgres.Fragment {
  return sql`m.thing_id as "thingId", m.to_id as "placeId", m.at, m.id as "movementId", m.body->>'spot' as spot,
    m.body->>'why' as why, m.person_id as "personId", m.stop_id as "stopId"`;
}
