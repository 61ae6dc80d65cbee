// The list of counts as the service answers it.
import { z } from 'zod';
import { placeIdSchema, stopIdSchema } from '#domain/ids.ts';
import { closedSumsSchema } from '#domain/movement.ts';
import type { Asked } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAsked } from './use-answer.ts';

export const countEntrySchema = z.strictObject({
  stopId: stopIdSchema,
  stopName: z.string(),
  jobName: z.string().nullable(),
  zone: z.string(),
  round: z.int(),
  vehicleId: placeIdSchema,
  vehicleName: z.string(),
  openedAt: z.int(),
  closedAt: z.int().nullable(),
  sums: closedSumsSchema.nullable(),
});
export type CountEntry = z.infer<typeof countEntrySchema>;
const pageSchema = pageSchemaOf(countEntrySchema);

const askCounts = (path: string, signal: AbortSignal): Promise<Asked<readonly CountEntry[]>> =>
  askAll(path, pageSchema, signal);

export function useCounts(): Told<readonly CountEntry[]> {
  return useAsked('/api/counts', askCounts);
}
