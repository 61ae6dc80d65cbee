// Writes the facts of a thing and its homes. Who may, and whether they are right, was decided before.
import { foldForSearch } from '#domain/fold.ts';
import type { ThingId } from '#domain/ids.ts';
import type { ThingFacts, ThingKind } from '#domain/thing.ts';
import type { Tx } from '../database/decide.ts';

function columnsOf(facts: ThingFacts) {
  return {
    name: facts.name,
    class_id: facts.classId,
    maker: facts.maker,
    model: facts.model,
    description: facts.description,
    serial: facts.serial,
    whose: facts.whose,
    owner_place_id: facts.ownerPlaceId,
    whose_from: facts.whoseFrom,
    whose_until: facts.whoseUntil,
    fee_minor: facts.feeMinor,
    fee_per: facts.feePer,
    weight_grams: facts.weightGrams,
    width_mm: facts.widthMm,
    height_mm: facts.heightMm,
    depth_mm: facts.depthMm,
    purchased_on: facts.purchasedOn,
    purchase_minor: facts.purchaseMinor,
    purchase_currency: facts.purchaseCurrency,
    purchased_from: facts.purchasedFrom,
    country: facts.country,
    container: facts.container,
    check: facts.check,
    built_on_id: facts.builtOnId,
    chemistry: facts.chemistry,
    watt_hours: facts.wattHours,
    volts: facts.volts,
    ampere_hours: facts.ampereHours,
    lithium_grams: facts.lithiumGrams,
    cycles: facts.cycles,
    unit: facts.unit,
    par: facts.par,
    note: facts.note,
    folded: foldThing(facts),
  };
}

/** What the search looks at: the words by which people know a thing, folded by the one function of phone and database. */
export function foldThing(
  facts: Pick<ThingFacts, 'name' | 'maker' | 'model' | 'serial' | 'description'>,
): string {
  return foldForSearch([facts.name, facts.maker, facts.model, facts.serial, facts.description]);
}

async function writeHomes(tx: Tx, id: ThingId, homes: ThingFacts['homes']): Promise<void> {
  if (homes.length === 0) return;
  const rows = homes.map((home) => ({
    thing_id: id,
    way: home.way,
    place_id: home.placeId,
    number: home.number,
  }));
  await tx`insert into home ${tx(rows)}`;
}

/** Adds the thing; false when the id is taken. */
export async function insertThing(tx: Tx, id: ThingId, kind: ThingKind, facts: ThingFacts): Promise<boolean> {
  const written = await tx`
    insert into thing ${tx({ id, kind, ...columnsOf(facts) })} on conflict (id) do nothing`;
  if (written.count === 0) return false;
  await writeHomes(tx, id, facts.homes);
  return true;
}

/** A thing of a list on its way in: its facts, and the key of the line that it comes from. */
export interface ListedThing {
  readonly id: ThingId;
  readonly kind: ThingKind;
  readonly facts: ThingFacts;
  readonly importKey: string;
}

/** Adds many new things at once, at most a thousand, without their homes. Their ids and keys are not taken. */
export async function insertListedThings(tx: Tx, things: readonly ListedThing[]): Promise<void> {
  if (things.length === 0) return;
  const rows = things.map(({ id, kind, facts, importKey }) => ({
    id,
    kind,
    import_key: importKey,
    ...columnsOf(facts),
  }));
  await tx`insert into thing ${tx(rows)}`;
}

/** Adds the homes of new things, once the places are there: a case of the list may be the home of another line. */
export async function insertHomesOf(tx: Tx, things: readonly ListedThing[]): Promise<void> {
  const homes = things.flatMap(({ id, facts }) =>
    facts.homes.map(({ way, placeId, number }) => ({ thing_id: id, way, place_id: placeId, number })),
  );
  if (homes.length > 0) await tx`insert into home ${tx(homes)}`;
}

/** Sets all facts of a thing whose row the caller has locked, and counts its version up. */
export async function updateThing(tx: Tx, id: ThingId, facts: ThingFacts): Promise<void> {
  await tx`update thing set ${tx(columnsOf(facts))}, version = version + 1 where id = ${id}`;
  await tx`delete from home where thing_id = ${id}`;
  await writeHomes(tx, id, facts.homes);
}
