// What is said of a stop after it was made: its name, its job, its times. Its place and zone only until the ledger speaks of
// it, because working days and counts are reckoned by them.

import { z } from 'zod';
import { foldForSearch } from '#domain/fold.ts';
import { placeIdSchema, plainIdSchema, stopIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { type Stop, stopKindSchema } from '#domain/place.ts';
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { findZoneFault } from '../outfit/standards.ts';
import { announceChange } from '../record/announce.ts';
import type { EditedKind } from '../record/keep.ts';
import { checkJob, checkPlace } from './keep-stop.ts';
import { readStops } from './store.ts';

const INSTANT_MAX = 8_640_000_000_000_000;

/** Fields that are left out stay as they are. */
export const stopEditSchema = z.strictObject({
  name: cleanText(300).min(1, 'a stop needs a name').optional(),
  jobId: plainIdSchema.nullable().optional(),
  kind: stopKindSchema.optional(),
  startsAt: z.int().min(0).max(INSTANT_MAX).optional(),
  endsAt: z.int().min(0).max(INSTANT_MAX).nullable().optional(),
  zone: cleanText(80).min(1).optional(),
  placeId: placeIdSchema.optional(),
});
export type StopEdit = z.infer<typeof stopEditSchema>;

const SPOKEN_OF = 'stays, because the ledger has lines of this stop; make a new stop there instead';

/** What the ledger holds fast once it speaks of a stop: where that is. */
async function findHeldFast(tx: Tx, edit: StopEdit, kept: Stop): Promise<FieldFault[]> {
  const fields: FieldFault[] = [];
  if (edit.zone !== undefined && edit.zone !== kept.zone)
    fields.push({ pointer: '/zone', detail: SPOKEN_OF });
  if (edit.placeId !== undefined && edit.placeId !== kept.placeId)
    fields.push({ pointer: '/placeId', detail: SPOKEN_OF });
  if (fields.length === 0) return fields;
  const spoken = await tx`select from movement where stop_id = ${kept.id} limit 1`;
  return spoken.count > 0 ? fields : [];
}

/** In this order: it ends before it begins · the zone is none · the ledger holds it fast · place or job is unknown. */
async function check(tx: Tx, _id: string, edit: StopEdit, kept: Stop | null): Promise<RecordRefusal | null> {
  if (kept === null) return checkJob(tx, edit.jobId ?? null);
  const endsAt = edit.endsAt === undefined ? kept.endsAt : edit.endsAt;
  if (endsAt !== null && endsAt < (edit.startsAt ?? kept.startsAt))
    return {
      kind: 'contradiction',
      fields: [{ pointer: '/endsAt', detail: 'lies before the stop began; correct the time' }],
    };
  const zone = findZoneFault('/zone', edit.zone ?? null);
  const fields = zone.length > 0 ? zone : await findHeldFast(tx, edit, kept);
  if (fields.length > 0) return { kind: 'contradiction', fields };
  const place = edit.placeId === undefined ? null : await checkPlace(tx, '/placeId', edit.placeId, false);
  return place ?? checkJob(tx, edit.jobId ?? null);
}

async function update(tx: Tx, id: string, edit: StopEdit, kept: Stop): Promise<null> {
  const row = {
    name: edit.name ?? kept.name,
    job_id: edit.jobId === undefined ? kept.jobId : edit.jobId,
    kind: edit.kind ?? kept.kind,
    starts_at: edit.startsAt ?? kept.startsAt,
    ends_at: edit.endsAt === undefined ? kept.endsAt : edit.endsAt,
    zone: edit.zone ?? kept.zone,
    place_id: edit.placeId ?? kept.placeId,
    unnamed: kept.unnamed && edit.name === undefined,
  };
  await tx`update stop set ${tx(row)}, version = version + 1 where id = ${id}`;
  await announceChange(tx, 'stop', id);
  if (edit.name !== undefined) await nameItsPlace(tx, kept, edit.name);
  return null;
}

/** The place that came along with a stop made in one tap is named with it, once. */
async function nameItsPlace(tx: Tx, stop: Stop, name: string): Promise<void> {
  const written = await tx`
    update place set name = ${name}, folded = ${foldForSearch([name])}, unnamed = false, version = version + 1
    where id = ${stop.placeId} and unnamed`;
  if (written.count > 0) await announceChange(tx, 'place', stop.placeId);
}

export const stopEditKind: EditedKind<StopEdit, Stop> = {
  table: 'stop',
  readOne: async (tx, id) => (await readStops(tx, [stopIdSchema.parse(id)]))[0] ?? null,
  check,
  update,
};
