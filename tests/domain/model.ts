// The laws once more, written the slow and plain way: each question asks the whole set of lines again. It shares
// no code with api/domain but the types, so that the two can disagree.
import type { Position } from '#domain/book.ts';
import type { AtlasPlace } from '#domain/chain.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { MovementOf, Recorded } from '#domain/movement.ts';

const bytesOf = (id: string) => BigInt(`0x${id.replaceAll('-', '')}`);

/** Law 4: whether `a` stands later in the ledger than `b`. */
export function isLater(a: { at: number; id: string }, b: { at: number; id: string }): boolean {
  return a.at > b.at || (a.at === b.at && bytesOf(a.id) > bytesOf(b.id));
}

/** Law 2: nobody's void names it, and it is no void. */
export function isLiving(line: Recorded, all: readonly Recorded[]): boolean {
  return line.kind !== 'void' && !all.some((other) => other.kind === 'void' && other.voids === line.id);
}

/** The latest of some lines, found by comparing each with each. */
export function latestOf<L extends { at: number; id: string }>(lines: readonly L[]): L | undefined {
  return lines.find((line) => lines.every((other) => other.id === line.id || isLater(line, other)));
}

function movesOf(thingId: ThingId, all: readonly Recorded[], before: number) {
  const moves = all.filter(
    (line) => line.kind === 'move' && line.thingId === thingId && line.at < before && isLiving(line, all),
  );
  return [...new Map(moves.map((line) => [line.id, line])).values()];
}

/** Law 5: the line that says where a thing is. */
export function modelPositionLine(
  thingId: ThingId,
  all: readonly Recorded[],
  before = Number.POSITIVE_INFINITY,
) {
  return latestOf(movesOf(thingId, all, before));
}

/** Law 7 needs them all: newest first, each time the latest of what is left. */
export function modelHistoryIds(thingId: ThingId, all: readonly Recorded[]): readonly string[] {
  let left = movesOf(thingId, all, Number.POSITIVE_INFINITY);
  const ids: string[] = [];
  for (let next = latestOf(left); next !== undefined; next = latestOf(left)) {
    const { id } = next;
    ids.push(id);
    left = left.filter((line) => line.id !== id);
  }
  return ids;
}

/** Law 6: from the latest hand count at this place on, what came less what went. */
export function modelNumber(
  thingId: ThingId,
  placeId: PlaceId,
  all: readonly Recorded[],
  before = Number.POSITIVE_INFINITY,
): number {
  const living = [...new Map(all.map((line) => [line.id, line])).values()].filter(
    (line) => isLiving(line, all) && line.at < before,
  );
  const counts: Recorded<MovementOf<'hand-count'>>[] = [];
  for (const line of living) {
    if (line.kind === 'hand-count' && line.thingId === thingId && line.toId === placeId) counts.push(line);
  }
  const count = latestOf(counts);
  let number = count?.number ?? 0;
  for (const line of living) {
    if (line.kind !== 'quantity' || line.thingId !== thingId) continue;
    if (count !== undefined && !isLater(line, count)) continue;
    if (line.toId === placeId) number += line.number;
    if (line.fromId === placeId) number -= line.number;
  }
  return number;
}

type Histories = ReadonlyMap<ThingId, readonly Position[]>;

/**
 * Law 7 over the whole world at once: find all loops by following every place for as many steps as there are
 * places, pass over the latest edge of one of them (`pick` says which), begin again. Gives where every place is.
 */
export function modelOutwards(
  places: ReadonlyMap<PlaceId, AtlasPlace>,
  histories: Histories,
  pick: (loops: number) => number,
): ReadonlyMap<PlaceId, PlaceId | null> {
  const left = new Map([...histories].map(([id, history]) => [id, [...history]]));
  for (;;) {
    const edges = new Map<PlaceId, PlaceId | null>();
    for (const { id, parentId, thingId } of places.values()) {
      edges.set(id, thingId === null ? parentId : (left.get(thingId)?.[0]?.placeId ?? null));
    }
    const loops = loopsOf(edges);
    const loop = loops[pick(loops.length) % Math.max(loops.length, 1)];
    if (loop === undefined) return edges;
    passOver(loop, places, left);
  }
}

function loopsOf(edges: ReadonlyMap<PlaceId, PlaceId | null>): readonly (readonly PlaceId[])[] {
  const loops = new Map<string, readonly PlaceId[]>();
  for (const start of edges.keys()) {
    const walked: PlaceId[] = [];
    let at: PlaceId | null = start;
    for (let step = 0; step <= edges.size && at !== null; step += 1) {
      at = edges.get(at) ?? null;
      if (at !== null) walked.push(at);
      if (at === start) {
        loops.set([...walked].sort().join(), walked);
        break;
      }
    }
  }
  return [...loops.values()];
}

function passOver(
  loop: readonly PlaceId[],
  places: ReadonlyMap<PlaceId, AtlasPlace>,
  left: Map<ThingId, Position[]>,
): void {
  const edges = loop.flatMap((id) => {
    const thingId = places.get(id)?.thingId ?? null;
    return thingId === null ? [] : (left.get(thingId) ?? []).slice(0, 1);
  });
  const latest = latestOf(edges.map((edge) => ({ at: edge.at, id: edge.movementId, thingId: edge.thingId })));
  if (latest === undefined) throw new Error('a loop of fixed places only');
  left.get(latest.thingId)?.shift();
}

/** Law 8: a container is sealed when some seal of it has no later seal or unseal, and nothing it notes left since. */
export function modelIsSealed(containerId: ThingId, all: readonly Recorded[]): boolean {
  const living = all.filter((line) => isLiving(line, all));
  return living.some((seal) => {
    if (seal.kind !== 'seal' || seal.thingId !== containerId) return false;
    const inside: readonly string[] = [containerId, ...seal.contents];
    const isIn = (id: string | null) => id !== null && inside.includes(id);
    return !living.some((line) => {
      if (!isLater(line, seal)) return false;
      if (line.kind === 'seal' || line.kind === 'unseal') return line.thingId === containerId;
      if (line.kind !== 'move' && line.kind !== 'quantity') return false;
      if (!seal.contents.some((id) => id === line.thingId)) return false;
      return line.kind === 'move' ? !isIn(line.toId) : isIn(line.fromId) && !isIn(line.toId);
    });
  });
}
