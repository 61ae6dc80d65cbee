// What is said of a stop after it was made: its name, its job, when it ended. Where and when it began stays.

import { z } from 'zod';
import { foldForSearch } from '#domain/fold.ts';
import { plainIdSchema, stopIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import type { Stop } from '#domain/place.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { EditedKind } from '../record/keep.ts';
import { checkJob } from './keep-stop.ts';
import { readStops } from './store.ts';

const INSTANT_MAX = 8_640_000_000_000_000;

/** Fields that are left out stay as they are. */
export const stopEditSchema = z.strictObject({
  name: cleanText(300).min(1, 'a stop needs a name').optional(),
  jobId: plainIdSchema.nullable().optional(),
  endsAt: z.int().min(0).max(INSTANT_MAX).nullable().optional(),
});
export type StopEdit = z.infer<typeof stopEditSchema>;

async function check(tx: Tx, _id: string, edit: StopEdit, kept: Stop | null): Promise<RecordRefusal | null> {
  const endsAt = edit.endsAt ?? null;
  if (kept !== null && endsAt !== null && endsAt < kept.startsAt)
    return {
      kind: 'contradiction',
      fields: [{ pointer: '/endsAt', detail: 'lies before the stop began; correct the time' }],
    };
  return checkJob(tx, edit.jobId ?? null);
}

async function update(tx: Tx, id: string, edit: StopEdit, kept: Stop): Promise<null> {
  const row = {
    name: edit.name ?? kept.name,
    job_id: edit.jobId === undefined ? kept.jobId : edit.jobId,
    ends_at: edit.endsAt === undefined ? kept.endsAt : edit.endsAt,
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
