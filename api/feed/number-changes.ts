// The numbering step of the feed: committed changes get their numbers, in one order for everybody. Writers never number
// a change themselves, because a number taken before the commit can become visible after a higher one.
import type postgres from 'postgres';

const NUMBERING_LOCK = 843_711_205;
export const CHANGE_CHANNEL = 'tailcount_change';

/** Moves what is committed from `change_waiting` to `change`, and wakes listeners. Says whether there was anything. */
export async function numberChanges(sql: postgres.Sql): Promise<boolean> {
  const [waiting] = await sql`select from change_waiting limit 1`;
  if (!waiting) return false;
  return sql.begin(async (tx) => {
    await tx`select pg_advisory_xact_lock(${NUMBERING_LOCK})`;
    const numbered = await tx`
      with committed as (delete from change_waiting returning id, kind, ref)
      insert into change (no, token, kind, ref)
      select (select coalesce(max(no), 0) from change) + row_number() over (order by id), gen_random_uuid(), kind, ref
      from committed`;
    if (numbered.count > 0) await tx`select pg_notify(${CHANGE_CHANNEL}, '')`;
    return numbered.count > 0;
  });
}
