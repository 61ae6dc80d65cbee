// Makes and edits parties. A party is a place where things can be, so it is written with its place.
import { foldForSearch } from '#domain/fold.ts';
import type { Party, PartyFacts } from '#domain/party.ts';
import type { Tx } from '../database/decide.ts';
import { announceChange, announceNew } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';
import { readParties } from './store.ts';

function columnsOf({ role, contact, email, phone, address, note }: PartyFacts) {
  return { role, contact, email, phone, address, note };
}

function foldParty(facts: PartyFacts): string {
  return foldForSearch([facts.name, facts.contact]);
}

async function insert(tx: Tx, id: string, facts: PartyFacts) {
  const written = await tx`
    insert into place ${tx({ id, kind: 'party', name: facts.name, folded: foldParty(facts) })}
    on conflict (id) do nothing`;
  if (written.count === 0) return 'taken';
  await tx`insert into party ${tx({ place_id: id, ...columnsOf(facts) })}`;
  await announceNew(tx, 'place', id);
  return null;
}

async function update(tx: Tx, id: string, facts: PartyFacts) {
  await tx`
    update place set name = ${facts.name}, folded = ${foldParty(facts)}, version = version + 1 where id = ${id}`;
  await tx`update party set ${tx(columnsOf(facts))}, version = version + 1 where place_id = ${id}`;
  await announceChange(tx, 'place', id);
  return null;
}

export const partyKind: RecordKind<PartyFacts, Party> = {
  table: 'place',
  readOne: async (tx, id) => (await readParties(tx, [id]))[0] ?? null,
  factsOf: ({ id: _id, version: _version, ...facts }) => facts,
  check: async () => null,
  insert,
  update,
};
