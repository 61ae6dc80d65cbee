// Reads the people who work with the outfit's gear.
import type postgres from 'postgres';
import type { Person } from '#domain/feed.ts';
import type { PersonId } from '#domain/ids.ts';

/** Reads people, sorted by name, id. */
export async function readPeople(tx: postgres.ISql, ids: 'all' | readonly PersonId[]): Promise<Person[]> {
  if (ids.length === 0) return [];
  const which = ids === 'all' ? tx`true` : tx`id = any(${[...ids]}::uuid[])`;
  const rows = await tx<Person[]>`select id, name, role from person where ${which} order by name, id`;
  return [...rows];
}
