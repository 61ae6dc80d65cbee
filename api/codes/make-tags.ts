// Makes a block of blank tags ahead of time, to be printed and stuck on when there is time.
import { randomBytes } from 'node:crypto';
import type postgres from 'postgres';
import { makeTag, type TagCode } from '#domain/tag-code.ts';
import { decide, type Tx } from '../database/decide.ts';
import type { CodeRefusal } from './code-refusal.ts';

export const TAGS_PER_BLOCK_MAX = 5_000;
const BYTES_PER_TAG = 64;

export type Block = { readonly blockId: string; readonly made: boolean; readonly codes: readonly string[] };

/** So many different tags, drawn at random; whether one was given out before is for the caller to look. */
export function drawTags(number: number): readonly TagCode[] {
  const drawn = new Set<TagCode>();
  while (drawn.size < number) {
    const tag = makeTag(randomBytes(BYTES_PER_TAG));
    if (tag !== null) drawn.add(tag);
  }
  return [...drawn];
}

async function readBlock(tx: Tx, blockId: string): Promise<readonly string[]> {
  const rows = await tx<
    { code: string }[]
  >`select code from blank_tag where block_id = ${blockId} order by code`;
  return rows.map((row) => row.code);
}

/**
 * Makes `number` new tags under the id of their block. The same id again is the same request: it gets the tags that
 * were made; with another number it is refused. A code that was ever given out is never given out again.
 */
export async function makeTags(
  sql: postgres.Sql,
  asked: { readonly blockId: string; readonly number: number; readonly now: number },
): Promise<Block | { readonly refusal: CodeRefusal }> {
  const { blockId, number, now } = asked;
  return decide<Block, CodeRefusal>(sql, async (tx) => {
    // Two deliveries of one request wait for one another here.
    await tx`select pg_advisory_xact_lock(hashtextextended(${`tags ${blockId}`}, 0))`;
    const before = await readBlock(tx, blockId);
    if (before.length === number) return { blockId, made: false, codes: before };
    if (before.length > 0) return { refusal: { kind: 'id-reused', id: blockId } };
    let missing = number;
    while (missing > 0) {
      const rows = drawTags(missing).map((code) => ({ code, block_id: blockId, made_at: now }));
      const written = await tx`
        insert into blank_tag ${tx(rows)} on conflict (code) do nothing`;
      // A tag of another outfit's making may be in use here without a block.
      const used = await tx`
        delete from blank_tag b where b.block_id = ${blockId} and exists (select from code c where c.code = b.code)`;
      missing -= written.count - used.count;
    }
    return { blockId, made: true, codes: await readBlock(tx, blockId) };
  });
}
