// Reads the one business this service belongs to.
import type postgres from 'postgres';
import type { Outfit } from '#domain/place.ts';

/** Reads the outfit; null while the database is empty and nobody has said whose it is. */
export async function readOutfit(tx: postgres.ISql): Promise<Outfit | null> {
  const [row] = await tx<Outfit[]>`
    select name, currency, zone, units, year_end as "yearEnd", mains_volts as "mainsVolts",
      day_turns_minutes as "dayTurnsMinutes", last_look as "lastLook", demo, version
    from outfit where id = 1`;
  return row ?? null;
}
