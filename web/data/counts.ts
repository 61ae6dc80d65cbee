// The list of counts as the service answers it.
import { useMemo } from 'react';
import { z } from 'zod';
import { placeIdSchema, stopIdSchema } from '#domain/ids.ts';
import { closedSumsSchema } from '#domain/movement.ts';
import type { Asked } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAnswer, useAsked } from './use-answer.ts';

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

/** All counts; `query` such as "?job=…" asks for those of one job or stop. */
export function useCounts(query = ''): Told<readonly CountEntry[]> {
  return useAsked(`/api/counts${query}`, askCounts);
}

// Only what a job or a stop says of what is out; the list itself has a screen of its own.
const outSchema = z.looseObject({
  lines: z.array(
    z.looseObject({
      thingId: z.string(),
      name: z.string(),
      kind: z.string(),
      number: z.int(),
      why: z.string(),
      stopId: z.string().nullable(),
      spot: z.string().nullable(),
    }),
  ),
});
export type OutAtStop = z.infer<typeof outSchema>['lines'][number];

/** What is still out there, by the stop at which it was last spoken of. */
export function useOutByStop(): ReadonlyMap<string, readonly OutAtStop[]> {
  const { answer } = useAnswer('/api/still-out', outSchema);
  return useMemo(() => {
    const lines = answer !== 'loading' && answer.ok ? answer.body.lines : [];
    const byStop = new Map<string, OutAtStop[]>();
    for (const line of lines) {
      if (line.stopId === null) continue;
      byStop.set(line.stopId, [...(byStop.get(line.stopId) ?? []), line]);
    }
    return byStop;
  }, [answer]);
}
