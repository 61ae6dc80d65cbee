// What somebody has to see to: things that are faulty, not found yet, or overdue, and where each of them is.
import type postgres from 'postgres';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { stillOut } from '#domain/still-out.ts';
import { firstKnownZone } from '#domain/working-day.ts';
import { readFacts } from '../counts/read-facts.ts';
import { readOutfit } from '../outfit/store.ts';
import { dateIn } from '../still-out/date-in.ts';
import { goneThings } from './gone-things.ts';

export type Matter = 'faulty' | 'not-found' | 'overdue';

export interface OpenMatter {
  readonly thingId: ThingId;
  readonly matter: Matter;
  /** Null where nobody put it down anywhere yet. */
  readonly placeId: PlaceId | null;
  /** Overdue: the last day, which is over. */
  readonly until: string | null;
}

/** Where a thing is; a counted one is at every place that holds some. */
const whereabouts = (sql: postgres.ISql) => sql`left join lateral (
  select place_id from position where thing_id = t.id
  union all select place_id from stock_level where thing_id = t.id and number > 0) at on true`;

function readFaulty(sql: postgres.ISql) {
  return sql<OpenMatter[]>`
    select t.id as "thingId", 'faulty' as matter, at.place_id as "placeId", null as until
    from (
      select distinct on (m.thing_id) m.thing_id, (m.body->>'on')::boolean as is_on
      from movement m
      where m.kind = 'mark' and m.body->>'mark' = 'faulty'
        and not exists (select from movement v where v.voids = m.id)
      order by m.thing_id, m.at desc, m.id desc) latest
    join thing t on t.id = latest.thing_id ${whereabouts(sql)}
    where latest.is_on and t.id not in ${goneThings(sql)}`;
}

/** What went back to whom it belongs is not overdue any more. */
function readOverdue(sql: postgres.ISql, today: string) {
  return sql<OpenMatter[]>`
    select t.id as "thingId", 'overdue' as matter, at.place_id as "placeId", to_char(t.whose_until, 'YYYY-MM-DD') as until
    from thing t ${whereabouts(sql)}
    where t.whose <> 'ours' and t.whose_until < ${today}::date and t.id not in ${goneThings(sql)}
      and at.place_id is distinct from coalesce(t.owner_place_id, '00000000-0000-0000-0000-000000000000')`;
}

/**
 * Things with a finding that may still stand: one that an item's later line has set aside is not asked for again,
 * unless the finder was shown a line. Which of these are missing says the rule.
 */
async function readMissing(sql: postgres.ISql, now: number): Promise<OpenMatter[]> {
  const rows = await sql<{ id: string }[]>`
    select distinct m.thing_id as id from movement m left join position p on p.thing_id = m.thing_id
    where m.kind = 'absence' and (p.at is null or p.at <= m.at or m.body->>'shownId' is not null)
      and not exists (select from movement v where v.voids = m.id)`;
  if (rows.length === 0) return [];
  const facts = await readFacts(sql, { since: 0, things: rows.map((row) => row.id) });
  return stillOut({ ...facts, now })
    .filter(({ why }) => why === 'not-found' || why === 'did-not-come')
    .map(({ thingId, placeId }) => ({ thingId, matter: 'not-found', placeId, until: null }));
}

/** All open matters of the outfit at `now` (UTC ms); dates are those of the outfit's zone. */
export async function readOpenMatters(sql: postgres.ISql, now: number): Promise<readonly OpenMatter[]> {
  const outfit = await readOutfit(sql);
  const today = dateIn(firstKnownZone([outfit?.zone ?? 'UTC']), now);
  const found = await Promise.all([readFaulty(sql), readMissing(sql, now), readOverdue(sql, today)]);
  return found.flat();
}
