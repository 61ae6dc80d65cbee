// Editing many things at once over HTTP: a preview line by line, then one transaction.
import { z } from 'zod';
import { thingIdSchema } from '#domain/ids.ts';
import { EDITED_MAX, editLineSchema, thingSetSchema } from '#domain/thing-edit.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { editThings } from './edit-things.ts';

// Putting back gives each different set a group of its own.
const GROUPS_MAX = 1_000;

const bodySchema = z
  .strictObject({
    groups: z
      .array(
        z.strictObject({
          set: thingSetSchema,
          things: z.array(z.strictObject({ id: thingIdSchema, version: z.int().min(1) })).min(1),
        }),
      )
      .min(1)
      .max(GROUPS_MAX),
    /** Says what would happen, and does nothing. */
    preview: z.boolean(),
  })
  .refine(({ groups }) => groups.reduce((sum, { things }) => sum + things.length, 0) <= EDITED_MAX, {
    path: ['groups'],
    message: `names more than ${EDITED_MAX} things; edit them in parts`,
  });

const edit = defineRoute({
  method: 'post',
  path: '/api/thing-edits',
  summary:
    'Sets facts on many things in one transaction, each of the version that was seen; a thing that somebody changed ' +
    'meanwhile is left out and named. Answers line by line, with what puts each back as it was',
  tag: 'Things',
  body: bodySchema,
  answers: { 200: z.strictObject({ lines: z.array(editLineSchema) }) },
  refusals: ['contradiction', 'unknown-reference'],
  handle: async ({ body: { groups, preview } }, { connections: { sql }, clock }) => {
    const done = await editThings(sql, groups, { preview, now: clock() });
    return 'refusal' in done ? done : { status: 200, body: done };
  },
});

export const thingEditRoutes: readonly Route[] = [edit];
