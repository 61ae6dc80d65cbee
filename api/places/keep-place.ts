// Makes and edits places that stand still. Vehicles and containers are made as items, parties as parties.

import { type PlaceId, placeIdSchema } from '#domain/ids.ts';
import type { Place } from '#domain/place.ts';
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { findZoneFault } from '../outfit/standards.ts';
import { announceChange, announceNew } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';
import { readPlaces } from './store.ts';
import { checkParent, insertPlace, type PlaceFacts, updatePlace } from './write-place.ts';

function breaksThing(id: PlaceId, facts: PlaceFacts, kept: Place | null): RecordRefusal | null {
  const wantsToMove = facts.kind === 'vehicle' || facts.kind === 'container';
  const moves = kept !== null && kept.thingId !== null;
  if (!moves) return wantsToMove ? { kind: 'moves-as-a-thing', id } : null;
  const stays = facts.kind === kept.kind && facts.name === kept.name && facts.parentId === null;
  return stays ? null : { kind: 'moves-as-a-thing', id };
}

function findContradictions(facts: PlaceFacts, kept: Place | null): FieldFault[] {
  const faults = findZoneFault('/zone', facts.zone);
  const wasParty = kept?.kind === 'party';
  if ((facts.kind === 'party') !== wasParty)
    faults.push({
      pointer: '/kind',
      detail: 'a party is entered and kept under /api/parties; choose another kind',
    });
  if (wasParty && facts.name !== kept.name)
    faults.push({ pointer: '/name', detail: 'is the name of a party; change it under /api/parties' });
  if (facts.kind === 'compartment' && facts.parentId === null)
    faults.push({ pointer: '/parentId', detail: 'a compartment is inside something; say in what' });
  return faults;
}

/** In this order: it is a thing's · it contradicts itself · its parent is unknown, inside it, or fixed. */
async function check(tx: Tx, given: string, facts: PlaceFacts, kept: Place | null) {
  const id = placeIdSchema.parse(given);
  const broken = breaksThing(id, facts, kept);
  if (broken !== null) return broken;
  const fields = findContradictions(facts, kept);
  if (fields.length > 0) return { kind: 'contradiction' as const, fields };
  return checkParent(tx, id, { from: kept?.parentId ?? null, to: facts.parentId });
}

export const placeKind: RecordKind<PlaceFacts, Place> = {
  table: 'place',
  readOne: async (tx, id) => (await readPlaces(tx, [placeIdSchema.parse(id)]))[0] ?? null,
  factsOf: ({ kind, name, parentId, sort, zone, address, note }) => ({
    kind,
    name,
    parentId,
    sort,
    zone,
    address,
    note,
  }),
  check,
  insert: async (tx, id, facts) => {
    if (!(await insertPlace(tx, placeIdSchema.parse(id), facts, false))) return 'taken';
    await announceNew(tx, 'place', id);
    return null;
  },
  update: async (tx, id, facts) => {
    await updatePlace(tx, placeIdSchema.parse(id), facts);
    await announceChange(tx, 'place', id);
    return null;
  },
};
