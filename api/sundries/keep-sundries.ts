// Makes and edits sundries.
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import type { Sundries, SundriesFacts } from '#domain/worth.ts';
import type { Tx } from '../database/decide.ts';
import { findCurrencyFault } from '../outfit/standards.ts';
import type { RecordKind } from '../record/keep.ts';
import { readSundries } from './store.ts';

function columnsOf(facts: SundriesFacts) {
  return {
    place_id: facts.placeId,
    class_id: facts.classId,
    description: facts.description,
    amount_minor: facts.amountMinor,
    currency: facts.currency,
    on_date: facts.onDate,
  };
}

async function check(tx: Tx, _id: string, facts: SundriesFacts): Promise<RecordRefusal | null> {
  const contradictions: FieldFault[] = findCurrencyFault('/currency', facts.currency);
  if ((facts.placeId === null) === (facts.classId === null))
    contradictions.push({
      pointer: '/placeId',
      detail: 'stands for a compartment or for a class; give one of the two',
    });
  if (contradictions.length > 0) return { kind: 'contradiction', fields: contradictions };
  const [known] = await tx<{ place: boolean; class: boolean }[]>`
    select exists (select from place where id = ${facts.placeId}::uuid) as place,
      exists (select from class where id = ${facts.classId}::uuid) as class`;
  if (facts.placeId !== null && !known?.place)
    return {
      kind: 'unknown-reference',
      fields: [{ pointer: '/placeId', detail: 'names no place; enter it first' }],
    };
  if (facts.classId !== null && !known?.class)
    return {
      kind: 'unknown-reference',
      fields: [{ pointer: '/classId', detail: 'names no class; make it first' }],
    };
  return null;
}

export const sundriesKind: RecordKind<SundriesFacts, Sundries> = {
  table: 'sundries',
  readOne: async (tx, id) => (await readSundries(tx, [id]))[0] ?? null,
  factsOf: ({ id: _id, version: _version, ...facts }) => facts,
  check,
  insert: async (tx, id, facts) => {
    const written =
      await tx`insert into sundries ${tx({ id, ...columnsOf(facts) })} on conflict (id) do nothing`;
    return written.count === 0 ? 'taken' : null;
  },
  update: async (tx, id, facts) => {
    await tx`update sundries set ${tx(columnsOf(facts))}, version = version + 1 where id = ${id}`;
    return null;
  },
};
