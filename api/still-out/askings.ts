// That somebody was asked for a thing: facts that are only ever added, and are announced with the thing's own changes.
import { isDeepStrictEqual } from 'node:util';
import type postgres from 'postgres';
import { z } from 'zod';
import type { Asking, AskingFacts } from '#domain/asking.ts';
import { plainIdSchema } from '#domain/ids.ts';
import { decide, type Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal, Kept } from '../record/keep.ts';

type AskingOut = Omit<Asking, 'at'> & { readonly at: number };

function columns(tx: postgres.ISql): postgres.Fragment {
  return tx`id, thing_id as "thingId", at::float8 as at, whom, way, said, party_id as "partyId", line_id as "lineId"`;
}

async function readAsking(tx: Tx, id: string): Promise<AskingOut | null> {
  const [row] = await tx<AskingOut[]>`select ${columns(tx)} from asking where id = ${id}`;
  return row ?? null;
}

/** Keeps that somebody was asked, under an id that its maker chose; the same again is a repeat and keeps its first time. */
export function keepAsking(
  sql: postgres.Sql,
  id: string,
  facts: AskingFacts,
  now: number,
): Promise<Kept<AskingOut>> {
  return decide<{ made: boolean; record: AskingOut }, KeepRefusal>(sql, async (tx) => {
    const [thing] = await tx`select from thing where id = ${facts.thingId} for no key update`;
    const known = await readAsking(tx, id);
    if (known !== null) {
      const same = isDeepStrictEqual({ ...known }, { ...facts, id, at: known.at });
      return same ? { made: false, record: known } : { refusal: { kind: 'id-reused', id } };
    }
    if (thing === undefined) {
      const fields = [{ pointer: '/thingId', detail: 'names no thing known here' }];
      return { refusal: { kind: 'unknown-reference', fields } };
    }
    const { thingId, whom, way, said, partyId, lineId } = facts;
    const row = { id, thing_id: thingId, at: now, whom, way, said, party_id: partyId, line_id: lineId };
    await tx`insert into asking ${tx(row)}`;
    await announceChange(tx, 'thing', thingId);
    return { made: true, record: { ...facts, id, at: now } };
  });
}

/** Where a page ended. */
export const askingCursorSchema = z.strictObject({ at: z.int(), id: plainIdSchema });
type AskingCursor = z.infer<typeof askingCursorSchema>;

/** A page of what was asked, the latest first; of one thing, or of all. */
export async function readAskings(
  sql: postgres.ISql,
  asked: {
    readonly thing?: string | undefined;
    readonly after?: AskingCursor | undefined;
    readonly limit: number;
  },
): Promise<{ readonly askings: readonly AskingOut[]; readonly next: AskingCursor | null }> {
  const { thing, after, limit } = asked;
  const rows = await sql<AskingOut[]>`
    select ${columns(sql)} from asking
    where ${thing === undefined ? sql`true` : sql`thing_id = ${thing}`}
      and ${after === undefined ? sql`true` : sql`(at, id) < (${after.at}, ${after.id}::uuid)`}
    order by at desc, id desc limit ${limit + 1}`;
  const shown = rows.slice(0, limit);
  const last = rows.length > limit ? shown.at(-1) : undefined;
  return { askings: shown, next: last === undefined ? null : { at: last.at, id: last.id } };
}

/** The latest asking of each of these things. */
export async function readLatestAskings(
  sql: postgres.ISql,
  thingIds: readonly string[],
): Promise<ReadonlyMap<string, Pick<Asking, 'at' | 'whom' | 'way'>>> {
  const rows = await sql<(Pick<Asking, 'at' | 'whom' | 'way'> & { thingId: string })[]>`
    select distinct on (thing_id) thing_id as "thingId", at::float8 as at, whom, way from asking
    where thing_id = any(${[...thingIds]}::uuid[]) order by thing_id, at desc, id desc`;
  return new Map(rows.map(({ thingId, ...asking }) => [thingId, asking]));
}
