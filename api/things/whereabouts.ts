// Where a thing is to begin with, and whether it can be there.
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';

export interface Whereabouts {
  readonly placeId: PlaceId;
  readonly number: number;
  /** When it was said, UTC ms. */
  readonly at: number;
}

/** Whether a thing can be put down there to begin with: not inside itself, and in a place that is known. */
export async function checkWhereabouts(
  tx: Tx,
  id: ThingId,
  first: Whereabouts | null,
): Promise<RecordRefusal | null> {
  if (first === null) return null;
  if (String(first.placeId) === String(id)) return { kind: 'inside-itself', pointer: '/placeId' };
  const known = await tx`select from place where id = ${first.placeId}`;
  if (known.count > 0) return null;
  return {
    kind: 'unknown-reference',
    fields: [{ pointer: '/placeId', detail: 'names no place; enter the place first' }],
  };
}
