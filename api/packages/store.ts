// Reads packages with their lines in packing order.

import type postgres from 'postgres';
import type { Package } from '#domain/package.ts';

/** Reads packages, sorted by name, id. */
export async function readPackages(tx: postgres.ISql, ids: readonly string[]): Promise<Package[]> {
  const rows = await tx<Package[]>`
    select p.id, p.name, p.note, p.version, coalesce((
      select json_agg(json_build_object('thingId', l.thing_id, 'classId', l.class_id, 'number', l.number,
        'spares', l.spares) order by l.sort, l.id)
      from package_line l where l.package_id = p.id), '[]') as lines
    from package p where p.id = any(${[...ids]}::uuid[]) order by p.name, p.id`;
  return [...rows];
}
