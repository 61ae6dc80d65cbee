// Reads what codes mean and have meant, and which tags wait blank.
import type postgres from 'postgres';
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import type { TagCode } from '#domain/tag-code.ts';

export const codeKindSchema = z.enum(['tag', 'foreign', 'gtin']);

/** What a code means, or meant, from `since` until `until` (UTC ms; null: still). One of thing and place is set. */
export const tieSchema = z.strictObject({
  id: plainIdSchema,
  code: z.string(),
  kind: codeKindSchema,
  thingId: thingIdSchema.nullable(),
  placeId: placeIdSchema.nullable(),
  name: z.string(),
  since: z.int(),
  until: z.int().nullable(),
});
export type Tie = z.infer<typeof tieSchema>;

/** All that the codes mean and meant, the latest first. */
export async function readTies(tx: postgres.ISql, codes: readonly string[]): Promise<Tie[]> {
  if (codes.length === 0) return [];
  return tx<Tie[]>`
    select c.id, c.code, c.kind, c.thing_id as "thingId", c.place_id as "placeId", coalesce(t.name, p.name) as name,
      c.since, c.until
    from code c left join thing t on t.id = c.thing_id left join place p on p.id = c.place_id
    where c.code = any(${[...codes]}) order by c.since desc, c.id desc`;
}

/** Which of the tags are in use or wait blank in a block: the ones that a mistyped code most likely means. */
export async function readKnownTags(
  tx: postgres.ISql,
  tags: readonly TagCode[],
): Promise<ReadonlySet<string>> {
  if (tags.length === 0) return new Set();
  const rows = await tx<{ code: string }[]>`
    select code from code where code = any(${[...tags]}) and until is null
    union select code from blank_tag where code = any(${[...tags]})`;
  return new Set(rows.map((row) => row.code));
}

export const blankTagSchema = z.strictObject({
  code: z.string(),
  /** As people read it, with dashes. */
  shown: z.string(),
  blockId: plainIdSchema,
  madeAt: z.int(),
  /** Whether it names something by now. */
  tied: z.boolean(),
});
export type BlankTag = Omit<z.infer<typeof blankTagSchema>, 'shown'>;

/** Tags made ahead of time, by code, after the given one. */
export async function readMadeTags(
  tx: postgres.ISql,
  page: {
    readonly after: string | null;
    readonly limit: number;
    readonly blockId: string | null;
    readonly tied: boolean | null;
  },
): Promise<BlankTag[]> {
  const tied = tx`exists (select from code c where c.code = b.code and c.until is null)`;
  return tx<BlankTag[]>`
    select b.code, b.block_id as "blockId", b.made_at as "madeAt", ${tied} as tied from blank_tag b
    where b.code > ${page.after ?? ''}
      and ${page.blockId === null ? tx`true` : tx`b.block_id = ${page.blockId}`}
      and ${page.tied === null ? tx`true` : tx`${tied} = ${page.tied}`}
    order by b.code limit ${page.limit}`;
}
