// Pieces of counted gear that went out of a place by number and, by the ledger, still stand where they went. A hand
// count at their place says how many are back, and nothing of where they came from; so what brings them back has to be
// written beside it, or the same pieces would stand at both places.
import { z } from 'zod';
import type { PlaceId } from './ids.ts';
import { placeIdSchema } from './ids.ts';
import type { MovementOf, Recorded } from './movement.ts';

export const outThereSchema = z.strictObject({ placeId: placeIdSchema, number: z.int().min(1) });
export type OutThere = z.infer<typeof outThereSchema>;

type Handed = Recorded<MovementOf<'quantity'>>;

/**
 * How many pieces stand where they were taken from `placeId`, the place they went to last first. `own`: the living lines
 * of one thing in the order of law 4. `isOut`: whether a line took them merely out, and not away or to another place
 * aboard. `left`: what stands at each place by the ledger and is not yet spoken for; what is answered is taken from it,
 * so that two places do not both call the same pieces theirs.
 */
export function outThereOf(
  placeId: PlaceId,
  own: readonly Recorded[],
  isOut: (line: Handed) => boolean,
  left: Map<PlaceId, number>,
): readonly OutThere[] {
  const net = new Map<PlaceId, number>();
  for (const line of own) {
    if (line.kind !== 'quantity') continue;
    if (line.fromId === placeId && line.toId !== null && isOut(line)) {
      const before = net.get(line.toId) ?? 0;
      // Entered anew, so that the last place stands last.
      net.delete(line.toId);
      net.set(line.toId, before + line.number);
    } else if (line.toId === placeId && line.fromId !== null) {
      net.set(line.fromId, Math.max(0, (net.get(line.fromId) ?? 0) - line.number));
    }
  }
  const found: OutThere[] = [];
  for (const [outId, number] of [...net].reverse()) {
    const standing = Math.min(number, left.get(outId) ?? 0);
    if (standing <= 0) continue;
    left.set(outId, (left.get(outId) ?? 0) - standing);
    found.push({ placeId: outId, number: standing });
  }
  return found;
}

/** Takes `wanted` pieces (0 or more) from what is out there, in its order; fewer when there are not so many. */
export function takeOut(outThere: readonly OutThere[], wanted: number): readonly OutThere[] {
  let rest = Math.max(0, wanted);
  const taken: OutThere[] = [];
  for (const { placeId, number } of outThere) {
    const some = Math.min(number, rest);
    if (some > 0) taken.push({ placeId, number: some });
    rest -= some;
  }
  return taken;
}
