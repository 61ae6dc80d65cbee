// Reads the outfit's own tree of classes.
import type postgres from 'postgres';
import type { ThingClass } from '#domain/thing.ts';

/** Reads classes, sorted by name, id. */
export async function readClasses(tx: postgres.ISql, ids: 'all' | readonly string[]): Promise<ThingClass[]> {
  if (ids.length === 0) return [];
  const which = ids === 'all' ? tx`true` : tx`id = any(${[...ids]}::uuid[])`;
  const rows = await tx<ThingClass[]>`
    select id, name, parent_id as "parentId", "check", forgotten, essential, life_months as "lifeMonths",
      residual_permille as "residualPermille", needs, version
    from class where ${which} order by name, id`;
  return [...rows];
}
