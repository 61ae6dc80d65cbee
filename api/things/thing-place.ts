// A container or a vehicle is a place too, under the same id: made, renamed and given up together with the thing.
import { foldForSearch } from '#domain/fold.ts';
import { asPlaceId, type ThingId } from '#domain/ids.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { announceChange, announceNew } from '../record/announce.ts';

export type MovingPlaceKind = 'container' | 'vehicle';

/** Makes the place that the thing is; refused when another place has the id. */
export async function makePlaceOf(
  tx: Tx,
  thing: { readonly id: ThingId; readonly name: string },
  kind: MovingPlaceKind,
): Promise<RecordRefusal | null> {
  const { id, name } = thing;
  const written = await tx`
    insert into place ${tx({ id, kind, name, thing_id: id, folded: foldForSearch([name]) })} on conflict (id) do nothing`;
  if (written.count === 0) return { kind: 'id-reused', id };
  await announceNew(tx, 'place', id);
  return null;
}

/** Gives the place that the thing is the thing's name, where it has another. */
export async function renamePlaceOf(tx: Tx, thing: { readonly id: ThingId; readonly name: string }) {
  const written = await tx`
    update place set name = ${thing.name}, folded = ${foldForSearch([thing.name])}, version = version + 1
    where id = ${thing.id} and name <> ${thing.name}`;
  if (written.count > 0) await announceChange(tx, 'place', thing.id);
}

/** The thing is no container any more: its place goes, unless anything was ever in it or refers to it. */
export async function removePlaceOf(tx: Tx, id: ThingId): Promise<RecordRefusal | null> {
  const [used] = await tx<{ yes: boolean }[]>`
    select exists (select from position where place_id = ${id})
      or exists (select from stock_level where place_id = ${id})
      or exists (select from home where place_id = ${id})
      or exists (select from place where parent_id = ${id})
      or exists (select from picture where place_id = ${id})
      or exists (select from sundries where place_id = ${id})
      or exists (select from code where place_id = ${id})
      or exists (select from thing where owner_place_id = ${id})
      or exists (select from stop where place_id = ${id})
      or exists (select from movement where to_id = ${id} or from_id = ${id}) as yes`;
  if (used?.yes) return { kind: 'still-in-use', id };
  await tx`delete from place where id = ${asPlaceId(id)}`;
  await announceChange(tx, 'place', id);
  return null;
}
