// Lines that wait, gathered by what they wait for. A line that waits is kept whole and let in by itself once that is there.
import type postgres from 'postgres';
import { isOpenMatter, WAITS_FOR, type WaitingGroup } from '#domain/matter.ts';
import { readLookedAt } from './looked-at.ts';

const LINES_SHOWN = 20;
export const GROUPS_MAX = 500;

type Group = Omit<WaitingGroup, 'ref' | 'lookedAt' | 'isOpen' | 'lines'>;
type Line = WaitingGroup['lines'][number] & Pick<Group, 'waitsFor' | 'forId'>;

const keyOf = ({ waitsFor, forId }: Pick<Group, 'waitsFor' | 'forId'>) => `${waitsFor}/${forId}`;

function readGroups(sql: postgres.ISql) {
  return sql<Group[]>`
    select w.waits_for as "waitsFor", w.ref as "forId", count(*)::int as number, min(w.at)::float8 as "firstAt",
      max(w.received_at)::float8 as "receivedAt", array_agg(distinct coalesce(d.name, 'a device')) as devices
    from movement_waiting w left join device d on d.id = w.device_id
    where w.waits_for = any(${[...WAITS_FOR]}::text[])
    group by w.waits_for, w.ref order by max(w.received_at) desc, w.waits_for, w.ref limit ${GROUPS_MAX}`;
}

function readGroupLines(sql: postgres.ISql, groups: readonly Group[]) {
  return sql<Line[]>`
    select asked.waits_for as "waitsFor", asked.ref as "forId", w.id, w.body->>'kind' as kind, w.at::float8 as at,
      w.time_uncertain as "timeUncertain", t.name as "thingName", p.name as "placeName",
      (w.body->>'number')::int as number, w.body->>'code' as code, w.body->>'note' as note
    from unnest(${groups.map((group) => group.waitsFor)}::text[], ${groups.map((group) => group.forId)}::text[])
        as asked (waits_for, ref)
      cross join lateral (
        select * from movement_waiting line where line.waits_for = asked.waits_for and line.ref = asked.ref
        order by line.at desc, line.id desc limit ${LINES_SHOWN}) w
      left join thing t on t.id = (w.body->>'thingId')::uuid
      left join place p on p.id = coalesce(w.body->>'toId', w.body->>'vehicleId')::uuid
    order by w.at desc, w.id desc`;
}

/** Every group, the latest received first, each with its latest lines. */
export async function readWaitingGroups(sql: postgres.ISql): Promise<readonly WaitingGroup[]> {
  const groups = await readGroups(sql);
  const [lines, looked] = await Promise.all([readGroupLines(sql, groups), readLookedAt(sql, 'waiting')]);
  const byGroup = new Map<string, WaitingGroup['lines']>();
  for (const { waitsFor, forId, ...line } of lines) {
    const key = keyOf({ waitsFor, forId });
    byGroup.set(key, [...(byGroup.get(key) ?? []), line]);
  }
  return groups.map((group) => {
    const ref = keyOf(group);
    const lookedAt = looked.get(ref) ?? null;
    const isOpen = isOpenMatter(lookedAt, group.receivedAt);
    return { ...group, ref, lookedAt, isOpen, lines: byGroup.get(ref) ?? [] };
  });
}
