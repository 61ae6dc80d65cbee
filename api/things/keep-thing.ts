// Makes and edits items, counted gear and consumables: one implementation, the kind differs.
import { type ThingId, thingIdSchema } from '#domain/ids.ts';
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import { type Thing, type ThingFacts, type ThingKind, thingFactsSchema } from '#domain/thing.ts';
import { findContradictions } from '#domain/thing-facts.ts';
import type { Tx } from '../database/decide.ts';
import { findCurrencyFault } from '../outfit/standards.ts';
import { announceChange, announceNew } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';
import { checkReferences } from './check-references.ts';
import { putDownFirst } from './first-lines.ts';
import { readThings } from './store.ts';
import { makePlaceOf, removePlaceOf, renamePlaceOf } from './thing-place.ts';
import { checkWhereabouts, type Whereabouts } from './whereabouts.ts';
import { insertThing, updateThing } from './write-facts.ts';

/** A thing as it is entered: its facts, and what is only said once, at the beginning. */
export interface EnteredThing {
  readonly kind: ThingKind;
  readonly facts: ThingFacts;
  /** It drives or floats: its place is a vehicle. */
  readonly vehicle: boolean;
  /** Where it is to begin with, and for a counted thing how many; null when nobody says. */
  readonly first: Whereabouts | null;
}

function findFaults(entered: EnteredThing): FieldFault[] {
  const faults = findContradictions(entered.kind, entered.facts);
  faults.push(...findCurrencyFault('/purchaseCurrency', entered.facts.purchaseCurrency));
  if (entered.vehicle && (entered.kind !== 'item' || entered.facts.container))
    faults.push({
      pointer: '/vehicle',
      detail: 'a vehicle is an item and no container; correct one of the two',
    });
  if (entered.first !== null && entered.kind === 'item' && entered.first.number !== 1)
    faults.push({ pointer: '/number', detail: 'an item is one; more of them are counted gear' });
  return faults;
}

async function isVehicle(tx: Tx, id: string): Promise<boolean> {
  return (await tx`select from place where id = ${id} and kind = 'vehicle'`).count > 0;
}

/** In this order: it was merged into another entry · it contradicts itself · what it names is unknown or inside it · it can't be put down there. */
async function check(tx: Tx, given: string, entered: EnteredThing, kept: Thing | null) {
  const id = thingIdSchema.parse(given);
  if (kept !== null && kept.mergedIntoId !== null) return { kind: 'merged-already' as const, id };
  const fields = findFaults(entered);
  if (kept !== null && entered.kind !== kept.kind)
    fields.push({ pointer: '/kind', detail: `is ${kept.kind} and stays so; enter another thing instead` });
  if (kept !== null && entered.first !== null)
    fields.push({ pointer: '/placeId', detail: 'is known by now; say where it went with a movement' });
  if (kept !== null && entered.facts.container && (await isVehicle(tx, id)))
    fields.push({ pointer: '/container', detail: 'is a vehicle already; leave it false' });
  if (fields.length > 0) return { kind: 'contradiction' as const, fields };
  return (await checkReferences(tx, id, entered.facts)) ?? (await checkWhereabouts(tx, id, entered.first));
}

async function insert(tx: Tx, given: string, entered: EnteredThing): Promise<RecordRefusal | 'taken' | null> {
  const id = thingIdSchema.parse(given);
  const { facts, kind } = entered;
  if (!(await insertThing(tx, id, kind, facts))) return 'taken';
  const placeKind = entered.vehicle ? 'vehicle' : 'container';
  if (entered.vehicle || facts.container) {
    const refusal = await makePlaceOf(tx, { id, name: facts.name }, placeKind);
    if (refusal !== null) return refusal;
  }
  await announceNew(tx, 'thing', id);
  if (entered.first !== null)
    await putDownFirst(tx, [{ thingId: id, kind, ...entered.first }], entered.first.at);
  return null;
}

async function keepPlace(tx: Tx, id: ThingId, facts: ThingFacts, kept: Thing): Promise<RecordRefusal | null> {
  if (facts.container && !kept.container) return makePlaceOf(tx, { id, name: facts.name }, 'container');
  if (!facts.container && kept.container) return removePlaceOf(tx, id);
  await renamePlaceOf(tx, { id, name: facts.name });
  return null;
}

async function update(
  tx: Tx,
  given: string,
  entered: EnteredThing,
  kept: Thing,
): Promise<RecordRefusal | null> {
  const id = thingIdSchema.parse(given);
  await updateThing(tx, id, entered.facts);
  await announceChange(tx, 'thing', id);
  return keepPlace(tx, id, entered.facts, kept);
}

/** The facts alone, homes in the order in which they are kept. */
export function factsOf(thing: ThingFacts): ThingFacts {
  const byPlace = [...thing.homes].sort((a, b) => (a.way + a.placeId < b.way + b.placeId ? -1 : 1));
  return thingFactsSchema.strip().parse({ ...thing, homes: byPlace });
}

export const thingKind: RecordKind<EnteredThing, Thing> = {
  table: 'thing',
  readOne: async (tx, id) => (await readThings(tx, [thingIdSchema.parse(id)]))[0] ?? null,
  factsOf: (kept) => ({ kind: kept.kind, facts: factsOf(kept) }),
  comparedOf: ({ kind, facts }) => ({ kind, facts: factsOf(facts) }),
  check,
  insert,
  update,
};
