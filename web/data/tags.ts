// Tags made ahead of time: making a block, and reading them back.
import { z } from 'zod';
import { type Asked, ask } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAsked } from './use-answer.ts';

export const TAGS_PER_BLOCK_MAX = 5_000;

const tagSchema = z.strictObject({
  code: z.string(),
  shown: z.string(),
  blockId: z.string(),
  madeAt: z.int(),
  tied: z.boolean(),
});
export type Tag = z.infer<typeof tagSchema>;
const pageSchema = pageSchemaOf(tagSchema);
const madeSchema = z.looseObject({ blockId: z.string() });

const askTags = (path: string, signal: AbortSignal): Promise<Asked<readonly Tag[]>> =>
  askAll(path, pageSchema, signal);

/** All tags, or those of one block. */
export function useTags(blockId: string | null): Told<readonly Tag[]> {
  return useAsked(blockId === null ? '/api/tags' : `/api/tags?block=${encodeURIComponent(blockId)}`, askTags);
}

export function makeTags(number: number): Promise<Asked<z.infer<typeof madeSchema>>> {
  return ask('/api/tags', madeSchema, { method: 'POST', body: { blockId: crypto.randomUUID(), number } });
}
