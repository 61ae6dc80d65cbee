// A line that a merge said again of another thing is undone with the line that it was said after: an undo that comes late
// from a phone knows the first one only.
import { randomBytes, randomUUID } from 'node:crypto';
import { makeUuidV7 } from '#domain/ids.ts';
import { movementSchema } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';
import type { TimedLine } from './line-rows.ts';

/** The void lines that follow from those among these, for lines that nobody has taken back. */
export async function readFollowing(
  tx: Tx,
  lines: readonly TimedLine[],
): Promise<readonly Omit<TimedLine, 'tiedTo'>[]> {
  const voids = lines.filter(({ line }) => line.kind === 'void');
  if (voids.length === 0) return [];
  const targets = voids.flatMap(({ line }) => (line.kind === 'void' ? [line.voids] : []));
  const rows = await tx<{ lineId: string; againId: string; thingId: string }[]>`
    select s.line_id as "lineId", m.id as "againId", m.thing_id as "thingId"
    from said_again s join movement m on m.id = s.again_id
    where s.line_id = any(${targets}::uuid[]) and not exists (select from movement v where v.voids = m.id)
    order by m.id`;
  return rows.flatMap(({ lineId, againId, thingId }) => {
    const cause = voids.find(({ line }) => line.kind === 'void' && line.voids === lineId);
    if (cause === undefined) return [];
    const { at, timeUncertain, receivedAt } = cause;
    // An installation of its own, so that no number of another is taken.
    const stamp = { id: makeUuidV7(at, randomBytes(16)), deviceId: randomUUID(), deviceNo: 1, deviceAt: at };
    const line = movementSchema.parse({ ...cause.line, ...stamp, voids: againId, thingId });
    return [{ line, at, timeUncertain, receivedAt }];
  });
}
