// Making, renaming and ordering places, and their reference pictures.
import { z } from 'zod';
import { type PlaceKind, type placeFactsSchema, placeSchema } from '#domain/place.ts';
import { PLAIN_FACTS } from '#domain/thing.ts';
import { type Asked, ask } from './ask.ts';

export type PlaceFacts = z.infer<typeof placeFactsSchema>;

/** A place as it is kept; what the service says beside that is not looked at here. */
export const keptPlaceSchema = z.looseObject(placeSchema.shape);
export type KeptPlace = z.infer<typeof keptPlaceSchema>;
const madeSchema = z.looseObject({ id: z.string() });
const goneSchema = z.looseObject({ id: z.string() });

export const factsOf = ({ kind, name, parentId, sort, zone, address, note }: KeptPlace): PlaceFacts => ({
  ...{ kind, name, parentId, sort, zone, address, note },
});

export const askPlace = (id: string): Promise<Asked<KeptPlace>> => ask(`/api/places/${id}`, keptPlaceSchema);

/** Saves a place that was read at `version`; refused as "version-moved" when somebody was faster. */
export const savePlace = (id: string, facts: PlaceFacts, version: number): Promise<Asked<KeptPlace>> =>
  ask(`/api/places/${id}`, keptPlaceSchema, { method: 'PUT', body: facts, ifMatch: `"${version}"` });

export const MADE_KINDS = ['compartment', 'store', 'vehicle', 'location', 'hotel'] as const;
export type MadeKind = (typeof MADE_KINDS)[number];

export interface NewPlace {
  readonly kind: MadeKind;
  readonly name: string;
  /** The place that a compartment is part of, or where a vehicle stands; null elsewhere. */
  readonly atId: string | null;
}

/** Makes a place. A vehicle is made as the thing that it is, because it moves as one. */
export function makePlace({ kind, name, atId }: NewPlace): Promise<Asked<{ readonly id: string }>> {
  if (kind === 'vehicle') {
    const where = atId === null ? {} : { placeId: atId };
    return ask('/api/items', madeSchema, {
      method: 'POST',
      body: { ...PLAIN_FACTS, name, vehicle: true, ...where },
    });
  }
  const parentId = kind === 'compartment' ? atId : null;
  const facts = { kind, name, parentId, sort: 0, zone: null, address: null, note: null };
  return ask('/api/places', madeSchema, { method: 'POST', body: facts });
}

const SORT_STEP = 10;

/** Gives fixed siblings this order; only those whose number changes are written. */
export async function orderPlaces(ids: readonly string[]): Promise<Asked<null>> {
  for (const [index, id] of ids.entries()) {
    const kept = await askPlace(id);
    if (!kept.ok) return kept;
    const sort = (index + 1) * SORT_STEP;
    if (kept.body.sort === sort) continue;
    const saved = await savePlace(id, { ...factsOf(kept.body), sort }, kept.body.version);
    if (!saved.ok) return saved;
  }
  return { ok: true, body: null, version: null };
}

/** Keeps a picture of how the place looks when it is right; the latest is the one that is shown. */
export function keepPicture(placeId: string, bytes: Blob): Promise<Asked<{ readonly id: string }>> {
  const path = `/api/pictures/${crypto.randomUUID()}?place=${placeId}`;
  return ask(path, madeSchema, { method: 'PUT', bytes });
}

export const removePicture = (id: string): Promise<Asked<{ readonly id: string }>> =>
  ask(`/api/pictures/${id}`, goneSchema, { method: 'DELETE' });

/** Whether a place of this kind is renamed as the thing that it is. */
export const isNamedElsewhere = (kind: PlaceKind): boolean =>
  kind === 'vehicle' || kind === 'container' || kind === 'party';
