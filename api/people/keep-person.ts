// Makes and edits the people who work with the outfit's gear.

import type postgres from 'postgres';
import { z } from 'zod';
import { personIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { announceChange } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';

export const personFactsSchema = z.strictObject({
  name: cleanText(200).min(1, 'a person needs a name'),
  role: z.enum(['owner', 'crew', 'viewer']),
});
export type PersonFacts = z.infer<typeof personFactsSchema>;
export const keptPersonSchema = personFactsSchema.extend({ id: personIdSchema, version: z.int() });
export type KeptPerson = z.infer<typeof keptPersonSchema>;

/** People with the version that their next editor sends back. */
export async function readKeptPeople(tx: postgres.ISql, ids: readonly string[]): Promise<KeptPerson[]> {
  const rows = await tx<KeptPerson[]>`
    select id, name, role, version from person where id = any(${[...ids]}::uuid[]) order by name, id`;
  return [...rows];
}

export const personKind: RecordKind<PersonFacts, KeptPerson> = {
  table: 'person',
  readOne: async (tx, id) => (await readKeptPeople(tx, [id]))[0] ?? null,
  factsOf: ({ name, role }) => ({ name, role }),
  check: async () => null,
  insert: async (tx, id, facts) => {
    const written = await tx`insert into person ${tx({ id, ...facts })} on conflict (id) do nothing`;
    if (written.count === 0) return 'taken';
    await announceChange(tx, 'person', id);
    return null;
  },
  update: async (tx, id, facts) => {
    await tx`update person set ${tx(facts)}, version = version + 1 where id = ${id}`;
    await announceChange(tx, 'person', id);
    return null;
  },
};
