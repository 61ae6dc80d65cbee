// Makes stops as phones write them down, with their new place along, and names, ends and books them later.

import { stopIdSchema } from '#domain/ids.ts';
import type { NewStop, Stop } from '#domain/place.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { findZoneFault } from '../outfit/standards.ts';
import { insertPlace } from '../places/write-place.ts';
import { announceNew } from '../record/announce.ts';
import type { MadeKind } from '../record/keep.ts';
import { readStops } from './store.ts';

/** What the stop's place is to the service: unknown, standing still, or a thing that moves. */
async function lookAtPlace(tx: Tx, id: string): Promise<'unknown' | 'still' | 'moves'> {
  const [place] = await tx<
    { moves: boolean }[]
  >`select thing_id is not null as moves from place where id = ${id}`;
  if (place === undefined) return 'unknown';
  return place.moves ? 'moves' : 'still';
}

/** In this order: the zone is none · the job is unknown · the place moves · the place is unknown and not new. */
async function check(tx: Tx, _id: string, stop: NewStop): Promise<RecordRefusal | null> {
  const zone = findZoneFault('/zone', stop.zone);
  if (zone.length > 0) return { kind: 'contradiction', fields: zone };
  const job = await checkJob(tx, stop.jobId);
  if (job !== null) return job;
  return checkPlace(tx, '/place/id', stop.place.id, stop.place.isNew);
}

/** In this order: the place moves · it is unknown and does not come along as a new one. */
export async function checkPlace(
  tx: Tx,
  pointer: string,
  placeId: string,
  isNew: boolean,
): Promise<RecordRefusal | null> {
  const place = await lookAtPlace(tx, placeId);
  if (place === 'moves')
    return {
      kind: 'contradiction',
      fields: [{ pointer, detail: 'is a vehicle or a container; a stop is where those go' }],
    };
  if (place === 'unknown' && !isNew)
    return {
      kind: 'unknown-reference',
      fields: [{ pointer, detail: 'names no place; send it with "isNew": true to make it along' }],
    };
  return null;
}

export async function checkJob(tx: Tx, jobId: string | null): Promise<RecordRefusal | null> {
  if (jobId === null) return null;
  const known = await tx`select from job where id = ${jobId}`;
  if (known.count > 0) return null;
  return {
    kind: 'unknown-reference',
    fields: [{ pointer: '/jobId', detail: 'names no job; enter the job first' }],
  };
}

async function makePlace(tx: Tx, stop: NewStop): Promise<void> {
  const facts = { kind: stop.kind, name: stop.place.name, parentId: null, sort: 0, zone: stop.zone };
  const made = await insertPlace(tx, stop.place.id, { ...facts, address: null, note: null }, stop.unnamed);
  // Another stop of the same evening may have brought the same new place already.
  if (!made) return;
  await announceNew(tx, 'place', stop.place.id);
}

async function insert(tx: Tx, id: string, stop: NewStop): Promise<RecordRefusal | 'taken' | null> {
  if (stop.place.isNew) await makePlace(tx, stop);
  const row = {
    id,
    job_id: stop.jobId,
    place_id: stop.place.id,
    name: stop.name,
    kind: stop.kind,
    zone: stop.zone,
    starts_at: stop.startsAt,
    unnamed: stop.unnamed,
  };
  const written = await tx`insert into stop ${tx(row)} on conflict (id) do nothing`;
  if (written.count === 0) return 'taken';
  await announceNew(tx, 'stop', id);
  return null;
}

export const stopKind: MadeKind<NewStop, Stop> = {
  readOne: async (tx, id) => (await readStops(tx, [stopIdSchema.parse(id)]))[0] ?? null,
  factsOf: ({ jobId, placeId, name, kind, zone, startsAt, unnamed }) => ({
    jobId,
    placeId,
    name,
    kind,
    zone,
    startsAt,
    unnamed,
  }),
  comparedOf: ({ jobId, place, name, kind, zone, startsAt, unnamed }) => ({
    jobId,
    placeId: place.id,
    name,
    kind,
    zone,
    startsAt,
    unnamed,
  }),
  check,
  insert,
};
