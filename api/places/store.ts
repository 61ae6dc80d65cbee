// Reads places as phones and the desk see them, with their reference pictures and the codes that name them.
import type postgres from 'postgres';
import type { PlaceId } from '#domain/ids.ts';
import type { Place } from '#domain/place.ts';

/** Reads places in a few statements however many they are. Sorted by their parent's order: sort, name, id. */
export async function readPlaces(tx: postgres.ISql, ids: 'all' | readonly PlaceId[]): Promise<Place[]> {
  if (ids.length === 0) return [];
  const which = ids === 'all' ? tx`true` : tx`p.id = any(${[...ids]}::uuid[])`;
  const [rows, pictures, codes] = await Promise.all([
    tx<Omit<Place, 'pictureIds' | 'codes'>[]>`
      select p.id, p.kind, p.name, p.parent_id as "parentId", p.sort, p.zone, p.address, p.note,
        p.thing_id as "thingId", p.unnamed, p.version
      from place p where ${which} order by p.sort, p.name, p.id`,
    tx<{ placeId: PlaceId; ids: string[] }[]>`
      select x.place_id as "placeId", array_agg(x.id order by x.taken_at, x.id) as ids
      from picture x join place p on p.id = x.place_id where ${which} group by x.place_id`,
    // A vehicle's or a container's tag is tied to the thing that it is; both are the same object.
    tx<{ placeId: PlaceId; codes: string[] }[]>`
      select p.id as "placeId", array_agg(c.code order by c.since, c.code) as codes
      from place p cross join lateral (
        select code, since from code where place_id = p.id and until is null
        union all select code, since from code where thing_id = p.thing_id and until is null) c
      where ${which} group by p.id`,
  ]);
  const picturesOf = new Map(pictures.map((row) => [row.placeId, row.ids]));
  const codesOf = new Map(codes.map((row) => [row.placeId, row.codes]));
  return rows.map((row) => ({
    ...row,
    pictureIds: picturesOf.get(row.id) ?? [],
    codes: codesOf.get(row.id) ?? [],
  }));
}
