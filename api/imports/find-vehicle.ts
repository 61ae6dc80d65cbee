// The vehicle whose compartments the new homes of a list are: a count is of a vehicle, so somebody who begins with a list
// needs one.
import { type PlaceId, placeIdSchema } from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import { PLAIN_FACTS } from '#domain/thing.ts';
import type { Tx } from '../database/decide.ts';
import { thingKind } from '../things/keep-thing.ts';
import { newId } from './new-id.ts';

/** The vehicle of that name, however it is written; made when there is none. */
export async function findVehicle(tx: Tx, name: string, now: number): Promise<PlaceId> {
  const [known] = await tx<{ id: PlaceId }[]>`
    select id from place where kind = 'vehicle' and lower(name) = lower(${name}) order by name, id limit 1`;
  if (known !== undefined) return known.id;
  const id = newId(now);
  const entered = { kind: 'item', facts: { ...PLAIN_FACTS, name }, vehicle: true, first: null } as const;
  const refusal = await thingKind.insert(tx, id, entered);
  assert(refusal === null, 'a new id is nobody else’s');
  return placeIdSchema.parse(id);
}
