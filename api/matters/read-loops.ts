// Loops of containers: two phones put things into each other. The latest edge is passed over (law 7) and shown.
import type postgres from 'postgres';
import type { Position } from '#domain/book.ts';
import { type AtlasPlace, type Loop, loopsIn } from '#domain/chain.ts';
import { asPlaceId, type PlaceId, type ThingId } from '#domain/ids.ts';
import type { LoopMatter } from '#domain/matter.ts';
import { positionColumns } from '../movements/line-rows.ts';
import { withOlderInLoops } from '../movements/older-in-loops.ts';
import { readLookedAt } from './looked-at.ts';

/** Later than every line. */
const END_OF_TIME = 8_640_000_000_000_001;

interface NamedPlace extends AtlasPlace {
  readonly name: string;
}

/** The places around a container by the latest lines alone, until the ring closes or ends. */
function ringOf(
  containerId: ThingId,
  history: ReadonlyMap<ThingId, readonly Position[]>,
  places: ReadonlyMap<PlaceId, NamedPlace>,
): readonly string[] {
  const start = asPlaceId(containerId);
  const ring: PlaceId[] = [];
  let at: PlaceId | null = start;
  while (at !== null && !ring.includes(at)) {
    ring.push(at);
    const place: NamedPlace | undefined = places.get(at);
    const thingId: ThingId | null = place?.thingId ?? null;
    at = thingId === null ? (place?.parentId ?? null) : (history.get(thingId)?.[0]?.placeId ?? null);
  }
  return ring.flatMap((id) => places.get(id)?.name ?? []);
}

function readContainers(sql: postgres.ISql) {
  return sql<Position[]>`
    select ${positionColumns(sql)} from position p join movement m on m.id = p.movement_id
      join place on place.thing_id = p.thing_id`;
}

/** Every container whose latest line is passed over, the earliest of these lines first. */
export async function readLoops(sql: postgres.ISql): Promise<readonly LoopMatter[]> {
  const [base, rows, looked] = await Promise.all([
    readContainers(sql),
    sql<NamedPlace[]>`select id, parent_id as "parentId", thing_id as "thingId", name from place`,
    readLookedAt(sql, 'loop'),
  ]);
  const places = new Map(rows.map((place) => [place.id, place]));
  const latest = new Map(base.map((position) => [position.thingId, [position]]));
  // Most outfits have no loop at any time, and then the older lines need not be read.
  if (loopsIn({ places, history: latest }).length === 0) return [];
  const history = new Map<ThingId, Position[]>();
  for (const position of await withOlderInLoops(sql, END_OF_TIME, base)) {
    history.set(position.thingId, [...(history.get(position.thingId) ?? []), position]);
  }
  const devices = await readDevices(sql, loopsIn({ places, history }));
  return loopsIn({ places, history }).map((loop) => {
    const { containerId, passedOver, countsAt } = loop;
    const nameOf = (id: PlaceId) => places.get(id)?.name ?? 'a place not known here';
    const lookedAt = looked.get(passedOver.movementId) ?? null;
    return {
      ...{ ref: passedOver.movementId, lookedAt, isOpen: lookedAt === null, thingId: containerId },
      ...{ name: nameOf(asPlaceId(containerId)), lineId: passedOver.movementId, at: passedOver.at },
      ...{ toId: passedOver.placeId, toName: nameOf(passedOver.placeId), countsAtId: countsAt },
      countsAtName: countsAt === null ? null : nameOf(countsAt),
      device: devices.get(passedOver.movementId) ?? null,
      ring: [...ringOf(containerId, history, places)],
    };
  });
}

async function readDevices(sql: postgres.ISql, loops: readonly Loop[]): Promise<ReadonlyMap<string, string>> {
  const ids = loops.map(({ passedOver }) => passedOver.movementId);
  const rows = await sql<{ id: string; name: string }[]>`
    select m.id, d.name from movement m join device d on d.id = m.device_id where m.id = any(${ids}::uuid[])`;
  return new Map(rows.map((row) => [row.id, row.name]));
}
