// The still-out-there list as the service answers it, and what the desk does about its lines.
import { z } from 'zod';
import { outLineSchema } from '#domain/out-line.ts';
import { partySchema } from '#domain/party.ts';
import { type Told, useAnswer } from './use-answer.ts';

const listSchema = z.strictObject({
  seesValues: z.boolean(),
  lines: z.array(outLineSchema),
  parties: z.array(partySchema),
});
export type StillOutList = z.infer<typeof listSchema>;

export const useStillOut = (): Told<StillOutList> => useAnswer('/api/still-out', listSchema);
