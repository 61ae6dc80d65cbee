// Writes what editing many things at once decided: a few statements, however many things.
import { randomBytes } from 'node:crypto';
import { makeUuidV7, type ThingId } from '#domain/ids.ts';
import type { Edited, ThingSet } from '#domain/thing-edit.ts';
import type { Tx } from '../database/decide.ts';
import { foldThing } from './write-facts.ts';

export interface EditedThing {
  readonly id: ThingId;
  readonly edited: Edited;
}

/** The columns that are the same for all of them. */
function columnsOf({ classId, whose, check, country, maker, purchasedFrom }: ThingSet) {
  return {
    ...(classId === undefined ? {} : { class_id: classId }),
    ...(whose === undefined
      ? {}
      : {
          whose: whose.whose,
          owner_place_id: whose.ownerPlaceId,
          whose_from: whose.whoseFrom,
          whose_until: whose.whoseUntil,
        }),
    ...(check === undefined ? {} : { check }),
    ...(country === undefined ? {} : { country }),
    ...(maker === undefined ? {} : { maker }),
    ...(purchasedFrom === undefined ? {} : { purchased_from: purchasedFrom }),
  };
}

/** The homes of all of them anew. */
async function writeHomes(tx: Tx, edits: readonly EditedThing[]): Promise<void> {
  const ids = edits.map(({ id }) => id);
  const rows = edits.flatMap(({ id, edited }) => edited.facts.homes.map((home) => ({ id, ...home })));
  await tx`delete from home where thing_id = any(${ids}::uuid[])`;
  await tx`
    insert into home (thing_id, way, place_id, number)
    select * from unnest(${rows.map(({ id }) => id)}::uuid[], ${rows.map(({ way }) => way)}::text[],
      ${rows.map(({ placeId }) => placeId)}::uuid[], ${rows.map(({ number }) => number)}::int[])`;
}

async function writeValues(tx: Tx, edits: readonly EditedThing[], now: number): Promise<void> {
  const rows = edits.flatMap(({ id: thingId, edited: { value } }) =>
    value === null ? [] : [{ thingId, id: makeUuidV7(now, randomBytes(16)), ...value }],
  );
  await tx`
    insert into replacement_value (id, thing_id, amount_minor, currency, on_date, source)
    select * from unnest(${rows.map(({ id }) => id)}::uuid[], ${rows.map(({ thingId }) => thingId)}::uuid[],
      ${rows.map(({ amountMinor }) => amountMinor)}::bigint[], ${rows.map(({ currency }) => currency)}::text[],
      ${rows.map(({ onDate }) => onDate)}::date[], ${rows.map(({ source }) => source)}::text[])`;
}

/**
 * Writes the set to all of the things, whose rows the caller has locked, and counts each version up. Also where only a
 * value was added: a repeat of the request then names a version that is over, and no price is raised twice.
 */
export async function writeEdits(
  tx: Tx,
  set: ThingSet,
  edits: readonly EditedThing[],
  now: number,
): Promise<void> {
  const columns = columnsOf(set);
  const ids = edits.map(({ id }) => id);
  const folded = edits.map(({ edited }) => foldThing(edited.facts));
  if (Object.keys(columns).length > 0)
    await tx`update thing set ${tx(columns)} where id = any(${ids}::uuid[])`;
  await tx`
    update thing t set folded = x.folded, version = t.version + 1
    from unnest(${ids}::uuid[], ${folded}::text[]) as x (id, folded) where t.id = x.id`;
  if (set.home !== undefined || set.homes !== undefined) await writeHomes(tx, edits);
  if (set.value !== undefined) await writeValues(tx, edits, now);
}
