// Stops as the desk plans them: read, made with their place, and edited.
import { z } from 'zod';
import { makeUuidV7, type PlaceId, placeIdSchema } from '#domain/ids.ts';
import { newStopSchema, type Stop, stopSchema } from '#domain/place.ts';
import { type Asked, ask } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAnswer, useAsked } from './use-answer.ts';

const stopsSchema = pageSchemaOf(stopSchema);
const askStops = (path: string, signal: AbortSignal) => askAll(path, stopsSchema, signal);

export const useStop = (id: string): Told<Stop> => useAnswer(`/api/stops/${id}`, stopSchema);
/** All stops of a job, the latest first. */
export const useStopsOf = (jobId: string): Told<readonly Stop[]> =>
  useAsked<readonly Stop[]>(`/api/stops?job=${jobId}`, askStops);

/** What a person says of a stop; a place without an id is a new one of this name. */
export interface StopFacts {
  readonly name: string;
  readonly kind: Stop['kind'];
  readonly zone: string;
  readonly startsAt: number;
  readonly endsAt: number | null;
  readonly jobId: string | null;
  readonly placeId: string | null;
}

const newId = () => makeUuidV7(Date.now(), crypto.getRandomValues(new Uint8Array(16)));

async function makePlace(facts: StopFacts): Promise<Asked<{ readonly id: PlaceId }>> {
  const { kind, name, zone } = facts;
  const body = { kind, name, parentId: null, sort: 0, zone, address: null, note: null };
  return ask('/api/places', z.looseObject({ id: placeIdSchema }), { method: 'POST', body });
}

/** Makes a stop; one that is known to end gets its end by a second step, as one made on a phone does. */
export async function makeStop(facts: StopFacts): Promise<Asked<Stop>> {
  const { name, kind, zone, startsAt, jobId, placeId } = facts;
  const place = { id: placeId ?? newId(), name, isNew: placeId === null };
  const body = newStopSchema.parse({ id: newId(), jobId, name, kind, zone, startsAt, unnamed: false, place });
  const made = await ask(`/api/stops/${body.id}`, stopSchema, { method: 'PUT', body });
  if (!made.ok || facts.endsAt === null) return made;
  return patchStop(made.body, { endsAt: facts.endsAt });
}

/** Sets the facts of a stop that was read as `before`. */
export async function editStop(facts: StopFacts, before: Stop): Promise<Asked<Stop>> {
  const place = facts.placeId === null ? await makePlace(facts) : null;
  if (place !== null && !place.ok) return place;
  return patchStop(before, { ...facts, placeId: place?.body.id ?? facts.placeId });
}

function patchStop(before: Stop, edit: Readonly<Record<string, unknown>>): Promise<Asked<Stop>> {
  const ifMatch = `"${before.version}"`;
  return ask(`/api/stops/${before.id}`, stopSchema, { method: 'PATCH', body: edit, ifMatch });
}
