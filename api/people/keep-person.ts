// Makes and edits the people who work with the outfit's gear. The list is a plain read and Prisma's; what an editor
// writes is read again in the driver's own transaction.

import type postgres from 'postgres';
import { z } from 'zod';
import { personIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import type { PrismaClient } from '../../prisma/generated/client.ts';
import { announceChange } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';
import { afterName, cutPage, type Page } from '../record/page.ts';

export const personFactsSchema = z.strictObject({
  name: cleanText(200).min(1, 'a person needs a name'),
  role: z.enum(['owner', 'crew', 'viewer']),
});
export type PersonFacts = z.infer<typeof personFactsSchema>;
export const keptPersonSchema = personFactsSchema.extend({ id: personIdSchema, version: z.int() });
export type KeptPerson = z.infer<typeof keptPersonSchema>;

/** A page of people with the version that their next editor sends back, sorted by name, id. */
export async function readPeoplePage(prisma: PrismaClient, page: Page) {
  const rows = await prisma.person.findMany({
    select: { id: true, name: true, role: true, version: true },
    where: afterName(page),
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    take: page.limit + 1,
  });
  return cutPage(rows, page.limit, (person) => person.name);
}

async function readKeptPerson(tx: postgres.ISql, id: string): Promise<KeptPerson | null> {
  const [row] = await tx<KeptPerson[]>`select id, name, role, version from person where id = ${id}`;
  return row ?? null;
}

export const personKind: RecordKind<PersonFacts, KeptPerson> = {
  table: 'person',
  readOne: readKeptPerson,
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
