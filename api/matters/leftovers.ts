// What phones hold and can never use: kept word for word, listed, to be saved as a file, and never read as anything.
import type postgres from 'postgres';
import { z } from 'zod';
import { plainIdSchema } from '#domain/ids.ts';
import { isOpenMatter, type Leftover, type LeftoverFacts } from '#domain/matter.ts';
import { decide, type Tx } from '../database/decide.ts';
import { OUTFIT_REF } from '../outfit/keep-outfit.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal } from '../record/keep.ts';
import { readLookedAt } from './looked-at.ts';

type Handed = { readonly id: string; readonly receivedAt: number };

async function isSame(tx: Tx, id: string, facts: LeftoverFacts): Promise<Handed | 'other' | null> {
  const [known] = await tx<(Handed & { deviceId: string; text: string })[]>`
    select id, received_at::float8 as "receivedAt", device_id as "deviceId", text from leftover where id = ${id}`;
  if (known === undefined) return null;
  if (known.deviceId !== facts.deviceId || known.text !== facts.text) return 'other';
  return { id, receivedAt: known.receivedAt };
}

/** Keeps one under the id that its phone made of it. The same again is a repeat, whatever else the phone says of it. */
export async function keepLeftover(sql: postgres.Sql, id: string, facts: LeftoverFacts, now: number) {
  return decide<{ made: boolean; record: Handed }, KeepRefusal>(sql, async (tx) => {
    const { deviceId, what, why, at, text } = facts;
    const row = { id, device_id: deviceId, what, why, at, received_at: now, text };
    const made = await tx`insert into leftover ${tx(row)} on conflict (id) do nothing`;
    if (made.count > 0) {
      await announceChange(tx, 'outfit', OUTFIT_REF);
      return { made: true, record: { id, receivedAt: now } };
    }
    const known = await isSame(tx, id, facts);
    if (known === 'other' || known === null) return { refusal: { kind: 'id-reused', id } };
    return { made: false, record: known };
  });
}

/** Where a page ended. */
export const leftoverCursorSchema = z.strictObject({ at: z.int(), id: plainIdSchema });
type LeftoverCursor = z.infer<typeof leftoverCursorSchema>;

/** A page of them, the latest first. */
export async function readLeftovers(
  sql: postgres.ISql,
  { after, limit }: { readonly after?: LeftoverCursor | undefined; readonly limit: number },
): Promise<{ readonly leftovers: readonly Leftover[]; readonly next: LeftoverCursor | null }> {
  const rows = await sql<Omit<Leftover, 'ref' | 'lookedAt' | 'isOpen'>[]>`
    select l.id, l.device_id as "deviceId", d.name as device, l.what, l.why, l.at::float8 as at,
      l.received_at::float8 as "receivedAt", char_length(l.text) as characters
    from leftover l left join device d on d.id = l.device_id
    where ${after === undefined ? sql`true` : sql`(l.received_at, l.id) < (${after.at}, ${after.id}::uuid)`}
    order by l.received_at desc, l.id desc limit ${limit + 1}`;
  const looked = await readLookedAt(sql, 'leftover');
  const leftovers = rows.slice(0, limit).map((row) => {
    const lookedAt = looked.get(row.id) ?? null;
    return { ...row, ref: row.id, lookedAt, isOpen: isOpenMatter(lookedAt, row.receivedAt) };
  });
  const last = rows.length > limit ? leftovers.at(-1) : undefined;
  return { leftovers, next: last === undefined ? null : { at: last.receivedAt, id: last.id } };
}

/** The text of one as it came; null where there is none of this id. */
export async function readLeftoverText(sql: postgres.ISql, id: string): Promise<string | null> {
  const [row] = await sql<{ text: string }[]>`select text from leftover where id = ${id}`;
  return row?.text ?? null;
}

/** How many nobody has looked at. */
export async function countOpenLeftovers(sql: postgres.ISql): Promise<number> {
  const [row] = await sql<{ number: number }[]>`
    select count(*)::int as number from leftover l
    where not exists (select from looked_at k where k.matter = 'leftover' and k.ref = l.id::text and k.at >= l.received_at)`;
  return row?.number ?? 0;
}
