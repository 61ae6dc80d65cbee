// Writes a place that stands still, and what its parent may be.

import type { z } from 'zod';
import { foldForSearch } from '#domain/fold.ts';
import type { PlaceId } from '#domain/ids.ts';
import type { placeFactsSchema } from '#domain/place.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { lockTree } from '../database/lock-tree.ts';
import { findInsideOf, insideFixed } from './inside.ts';

export type PlaceFacts = z.infer<typeof placeFactsSchema>;

function columnsOf(facts: PlaceFacts) {
  return {
    kind: facts.kind,
    name: facts.name,
    parent_id: facts.parentId,
    sort: facts.sort,
    zone: facts.zone,
    address: facts.address,
    note: facts.note,
    folded: foldForSearch([facts.name, facts.address]),
  };
}

/** Adds the place; false when the id is taken. */
export async function insertPlace(
  tx: Tx,
  id: PlaceId,
  facts: PlaceFacts,
  unnamed: boolean,
): Promise<boolean> {
  const written = await tx`
    insert into place ${tx({ id, ...columnsOf(facts), unnamed })} on conflict (id) do nothing`;
  return written.count > 0;
}

/** Sets the facts of a place whose row the caller has locked; a place that is edited has been named. */
export async function updatePlace(tx: Tx, id: PlaceId, facts: PlaceFacts): Promise<void> {
  await tx`
    update place set ${tx({ ...columnsOf(facts), unnamed: false })}, version = version + 1 where id = ${id}`;
}

/** Whether the ledger says anything of the place or of what lies inside it by fixed parents. */
async function isReferredTo(tx: Tx, id: PlaceId): Promise<boolean> {
  const [found] = await tx<{ yes: boolean }[]>`
    with inside as materialized (select array(${insideFixed(tx, [id])}) as ids)
    select exists (select from movement, inside where to_id = any(ids))
      or exists (select from movement, inside where from_id = any(ids)) as yes`;
  return found?.yes === true;
}

/**
 * Whether a place may hang below its new parent. In this order: the parent is unknown · it would be inside itself ·
 * the ledger refers to it or below it, so that its parent stays (law 7). Null when it may.
 */
export async function checkParent(
  tx: Tx,
  id: PlaceId,
  parent: { readonly from: PlaceId | null; readonly to: PlaceId | null },
): Promise<RecordRefusal | null> {
  if (parent.from === parent.to) return null;
  await lockTree(tx, 'place');
  if (parent.to !== null) {
    const known = await tx`select from place where id = ${parent.to}`;
    if (known.count === 0 && parent.to !== id)
      return {
        kind: 'unknown-reference',
        fields: [{ pointer: '/parentId', detail: 'names no place; enter the outer place first' }],
      };
    const inside = await findInsideOf(tx, id, [parent.to]);
    if (parent.to === id || inside.size > 0) return { kind: 'inside-itself', pointer: '/parentId' };
  }
  if (await isReferredTo(tx, id)) return { kind: 'parent-is-fixed', id };
  return null;
}
