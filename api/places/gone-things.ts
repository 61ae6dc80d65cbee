// Things that lie nowhere any more: merged into another, or written off.
import type postgres from 'postgres';

/** Their ids, as a subselect. They are few, so that a list of all things leaves them out without a join. */
export const goneThings = (sql: postgres.ISql) => sql`(
  select id from thing where merged_into_id is not null
  union all select w.thing_id from write_off w join thing o on o.id = w.thing_id and o.kind = 'item')`;
