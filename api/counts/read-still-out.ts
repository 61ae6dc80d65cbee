// What is still out there, across all stops, by the same rule as on a phone (#domain/still-out.ts).
import type postgres from 'postgres';
import { REASONS_AWAY } from '#domain/movement.ts';
import { stillOut } from '#domain/still-out.ts';
import { firstKnownZone, workingDayBeganAt } from '#domain/working-day.ts';
import { readOutfit } from '../outfit/store.ts';
import { readFacts } from './read-facts.ts';

/** Things that some line says are missing or put away, and that may still be: the rule decides. */
async function readSuspects(sql: postgres.ISql): Promise<readonly string[]> {
  const away = REASONS_AWAY.filter((reason) => reason !== 'consumed');
  const rows = await sql<{ id: string }[]>`
    select thing_id as id from movement m where m.kind = 'absence'
      and not exists (select from movement v where v.voids = m.id)
    union
    select p.thing_id from position p join movement m on m.id = p.movement_id where m.body->>'why' = any(${away}::text[])
    union
    select l.thing_id from stock_level l join place on place.id = l.place_id
    where l.number > 0 and place.kind in ('location', 'hotel', 'party', 'in-transit')`;
  return rows.map((row) => row.id);
}

/** The list, the most urgent first. */
export async function readStillOut(sql: postgres.ISql, now: number) {
  const outfit = await readOutfit(sql);
  const things = await readSuspects(sql);
  // All their lines: what says that something is missing may be old.
  const facts = await readFacts(sql, { since: 0, things });
  const dayBeganAt = workingDayBeganAt(
    now,
    firstKnownZone([outfit?.zone ?? 'UTC']),
    outfit?.dayTurnsMinutes ?? 300,
  );
  return stillOut({ ...facts, now, dayBeganAt });
}
