// Makes and edits the classes of the outfit's own tree: one name per parent, no class below itself.
import type postgres from 'postgres';
import type { z } from 'zod';
import type { RecordRefusal } from '#domain/record.ts';
import type { classFactsSchema, ThingClass } from '#domain/thing.ts';
import type { Tx } from '../database/decide.ts';
import { lockTree } from '../database/lock-tree.ts';
import { announceChange } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';
import { readClasses } from './store.ts';

export type ClassFacts = z.infer<typeof classFactsSchema>;

function columnsOf(facts: ClassFacts) {
  return {
    name: facts.name,
    parent_id: facts.parentId,
    check: facts.check,
    forgotten: facts.forgotten,
    essential: facts.essential,
    life_months: facts.lifeMonths,
    residual_permille: facts.residualPermille,
    needs: [...facts.needs],
  };
}

async function checkParent(tx: Tx, id: string, parentId: string): Promise<RecordRefusal | null> {
  if (parentId === id) return { kind: 'inside-itself', pointer: '/parentId' };
  const above = await tx<{ id: string }[]>`
    with recursive up as (
      select id, parent_id from class where id = ${parentId}
      union select c.id, c.parent_id from class c join up u on c.id = u.parent_id)
    select id from up`;
  if (above.length === 0)
    return {
      kind: 'unknown-reference',
      fields: [{ pointer: '/parentId', detail: 'names no class; make the upper class first' }],
    };
  return above.some((row) => row.id === id) ? { kind: 'inside-itself', pointer: '/parentId' } : null;
}

/** In this order: the parent is unknown or below it · another class of the same parent has the name. */
async function check(tx: Tx, id: string, facts: ClassFacts): Promise<RecordRefusal | null> {
  await lockTree(tx, 'class');
  const refusal = facts.parentId === null ? null : await checkParent(tx, id, facts.parentId);
  if (refusal !== null) return refusal;
  const taken = await tx`
    select from class
    where parent_id is not distinct from ${facts.parentId}::uuid and name = ${facts.name} and id <> ${id}`;
  return taken.count > 0 ? { kind: 'name-taken', name: facts.name } : null;
}

async function readOne(tx: postgres.ISql, id: string): Promise<ThingClass | null> {
  return (await readClasses(tx, [id]))[0] ?? null;
}

export const classKind: RecordKind<ClassFacts, ThingClass> = {
  table: 'class',
  readOne,
  factsOf: ({ id: _id, version: _version, ...facts }) => facts,
  check,
  insert: async (tx, id, facts) => {
    const written =
      await tx`insert into class ${tx({ id, ...columnsOf(facts) })} on conflict (id) do nothing`;
    if (written.count === 0) return 'taken';
    await announceChange(tx, 'class', id);
    return null;
  },
  update: async (tx, id, facts) => {
    await tx`update class set ${tx(columnsOf(facts))}, version = version + 1 where id = ${id}`;
    await announceChange(tx, 'class', id);
    return null;
  },
};
