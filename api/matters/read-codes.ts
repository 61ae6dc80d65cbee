// Codes that were scanned and mean nothing here. Their lines count for a thing from their own time once the code is tied.
import type postgres from 'postgres';
import { type CodeMatter, isOpenMatter } from '#domain/matter.ts';
import { readLookedAt } from './looked-at.ts';

const CODES_MAX = 500;

/** Each code once, the one scanned last first. */
export async function readUnknownCodes(sql: postgres.ISql): Promise<readonly CodeMatter[]> {
  const rows = await sql<Omit<CodeMatter, 'ref' | 'lookedAt' | 'isOpen'>[]>`
    with open as (
      select m.code, m.at, m.id, m.to_id, m.device_id, m.body->>'note' as note from movement m
      where m.kind = 'move' and m.thing_id is null and m.code is not null
        and not exists (select from movement v where v.voids = m.id)),
    latest as (
      select distinct on (code) code, at, id, to_id, device_id, note, count(*) over (partition by code)::int as number,
        min(at) over (partition by code) as first_at
      from open order by code, at desc, id desc)
    select l.code, l.number, l.first_at::float8 as "firstAt", l.at::float8 as "lastAt", l.to_id as "placeId", p.name as "placeName", d.name as device, l.note
    from latest l left join place p on p.id = l.to_id left join device d on d.id = l.device_id
    order by l.at desc, l.id desc limit ${CODES_MAX}`;
  const looked = await readLookedAt(sql, 'code');
  return rows.map((row) => {
    const lookedAt = looked.get(row.code) ?? null;
    return { ...row, ref: row.code, lookedAt, isOpen: isOpenMatter(lookedAt, row.lastAt) };
  });
}
