// Moves as phones send them, for the load generator, and the things and places they name.
import { randomBytes, randomUUID } from 'node:crypto';
import type postgres from 'postgres';
import { makeUuidV7 } from '#domain/ids.ts';

export interface Ground {
  readonly things: readonly string[];
  readonly places: readonly string[];
}

/** Enters things and places straight into the tables: they are what the bench stands on, not what it measures. */
export async function enterGround(sql: postgres.Sql, things: number): Promise<Ground> {
  const ground = {
    things: Array.from({ length: things }, () => randomUUID()),
    places: Array.from({ length: 20 }, () => randomUUID()),
  };
  await sql`insert into place (id, kind, name) select id, 'location', 'Reed bed' from unnest(${ground.places}::uuid[]) as place (id)`;
  await sql`insert into thing (id, kind, name) select id, 'item', 'Marsh lamp' from unnest(${ground.things}::uuid[]) as thing (id)`;
  return ground;
}

const pick = <T>(list: readonly T[], index: number): T => {
  const value = list[index % list.length];
  if (value === undefined) throw new Error('nothing to pick from');
  return value;
};

/** The lines of one device in their order. */
export function makeMoves(
  ground: Ground,
  number: number,
  device: { id: string; run: string; firstNo: number },
) {
  const now = Date.now() - number;
  return Array.from({ length: number }, (_, index) => ({
    ...{ kind: 'move', id: makeUuidV7(now + index, randomBytes(16)), deviceId: device.id },
    ...{ deviceNo: device.firstNo + index, deviceAt: now + index, clockRun: device.run, personId: null },
    ...{ stopId: null, round: null, note: null, check: 'scanned', why: 'load-in', spot: null },
    thingId: pick(ground.things, Math.floor(Math.random() * ground.things.length)),
    toId: pick(ground.places, index),
    ...{ code: null, sealUnbroken: false },
  }));
}

/** Bodies of `size` lines each, written by `devices` phones in turn. */
export function makeBodies(ground: Ground, bodies: number, size: number, devices: number): readonly string[] {
  const each = Math.ceil(bodies / devices);
  const phones = Array.from({ length: devices }, () => {
    const device = { id: randomUUID(), run: randomUUID(), firstNo: 1 };
    const lines = makeMoves(ground, each * size, device);
    return Array.from({ length: each }, (_, index) =>
      JSON.stringify({
        clocks: [{ clockRun: device.run, offsetMs: 0 }],
        movements: lines.slice(index * size, (index + 1) * size),
      }),
    );
  });
  return Array.from({ length: bodies }, (_, index) => pick(pick(phones, index), Math.floor(index / devices)));
}
