// Everything that may carry a label of ours, in home order: things and places that stand still, each with its tag if it has one.
import type postgres from 'postgres';
import { z } from 'zod';
import { type PlaceId, placeIdSchema, type ThingId, thingIdSchema } from '#domain/ids.ts';
import { type HomePlace, inHomeOrder } from '#domain/label-order.ts';
import { dateSchema, type Whose, whoseSchema } from '#domain/thing.ts';

export const labelledSchema = z.strictObject({
  id: z.union([thingIdSchema, placeIdSchema]),
  kind: z.enum(['thing', 'place']),
  name: z.string(),
  /** Its newest tag of ours, without dashes; null where it has none. */
  tag: z.string().nullable(),
  whose: whoseSchema,
  whoseUntil: dateSchema.nullable(),
  /** Where it lives, the outermost place first. */
  home: z.array(z.strictObject({ id: placeIdSchema, name: z.string() })),
});
export type Labelled = z.infer<typeof labelledSchema>;

interface LabelledRow {
  readonly id: ThingId | PlaceId;
  readonly kind: 'thing' | 'place';
  readonly name: string;
  readonly tag: string | null;
  readonly whose: Whose;
  readonly whoseUntil: string | null;
  readonly homeId: PlaceId | null;
}

function readHomePlaces(tx: postgres.ISql): Promise<HomePlace[]> {
  return tx<HomePlace[]>`
    select p.id, p.name, p.kind, p.sort, coalesce(p.parent_id, (
      select h.place_id from home h where h.thing_id = p.thing_id order by h.way, h.place_id limit 1)) as "outerId"
    from place p`;
}

/** Counted gear and consumables have no tag each, so they come only where somebody put one on. Driving homes come first in the order of "way", and a thing of several homes is labelled where most of it lives. */
function readRows(tx: postgres.ISql): Promise<LabelledRow[]> {
  return tx<LabelledRow[]>`
    select t.id, 'thing' as kind, t.name, t.whose, to_char(t.whose_until, 'YYYY-MM-DD') as "whoseUntil",
      (select c.code from code c where c.thing_id = t.id and c.kind = 'tag' and c.until is null
        order by c.since desc, c.code limit 1) as tag,
      (select h.place_id from home h where h.thing_id = t.id order by h.way, h.number desc, h.place_id limit 1) as "homeId"
    from thing t
    where t.merged_into_id is null
      and (t.kind = 'item' or exists (
        select from code c where c.thing_id = t.id and c.kind = 'tag' and c.until is null))
      and not (t.kind = 'item' and exists (select from write_off w where w.thing_id = t.id))
    union all
    select p.id, 'place', p.name, 'ours', null,
      (select c.code from code c where c.place_id = p.id and c.kind = 'tag' and c.until is null
        order by c.since desc, c.code limit 1), null
    from place p where p.thing_id is null and p.kind in ('store', 'compartment')`;
}

/** All of it, in home order. Written-off and merged things need no label. */
export async function readLabelled(tx: postgres.ISql): Promise<readonly Labelled[]> {
  const [rows, places] = await Promise.all([readRows(tx), readHomePlaces(tx)]);
  const nameOf = new Map(places.map(({ id, name }) => [id, name]));
  return inHomeOrder(rows, places).map(({ homed: { homeId: _homeId, ...row }, path }) => ({
    ...row,
    home: path.map((id) => ({ id, name: nameOf.get(id) ?? '' })),
  }));
}
