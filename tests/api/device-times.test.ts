// What the service keeps of an installation while its lines come late, or wait for something (laws 3 and 4).
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makeUuidV7 } from '#domain/ids.ts';
import { lineAnswerSchema } from '#domain/movement.ts';
import { startService } from './app.ts';
import { plainFacts } from './facts.ts';

const MORNING = Date.UTC(2026, 10, 25, 7);
let now = MORNING;
let service: Awaited<ReturnType<typeof startService>>;
beforeAll(async () => {
  service = await startService({ clock: () => now });
});
afterAll(() => service.close());

async function make(path: string, facts: object): Promise<string> {
  const reply = await service.ask('POST', path, { body: facts });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}

async function makeGround() {
  const store = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };
  const placeId = await make('/api/places', { ...store, name: 'Boathouse' });
  return { placeId, thingId: await make('/api/items', { ...plainFacts, name: 'Marsh lamp' }) };
}

function makePhone(toId: string) {
  const stamp = { deviceId: randomUUID(), clockRun: randomUUID(), personId: null };
  const said = { stopId: null, round: null, note: null, check: 'scanned', why: 'tidy', spot: null };
  const line = (deviceNo: number, deviceAt: number, thingId: string) => {
    const own = { id: makeUuidV7(deviceAt, randomBytes(16)), deviceNo, deviceAt, code: null };
    return { kind: 'move', ...stamp, ...own, ...said, thingId, toId, sealUnbroken: false };
  };
  const send = async (...movements: object[]) => {
    const clocks = [{ clockRun: stamp.clockRun, offsetMs: 0 }];
    const reply = await service.ask('POST', '/api/movements', { body: { clocks, movements } });
    return lineAnswerSchema.array().parse(reply.body.answers);
  };
  const seenAt = async () => {
    const rows = await service.database.sql`select seen_at as at from device where id = ${stamp.deviceId}`;
    return rows[0]?.at;
  };
  return { line, send, seenAt };
}

test('a line that comes late is held before a later one that waits for its thing', async () => {
  const { placeId, thingId } = await makeGround();
  const phone = makePhone(placeId);
  const [, waiting] = await phone.send(
    phone.line(1, now - 60_000, thingId),
    phone.line(5, now - 50_000, randomUUID()),
    phone.line(9, now - 10_000, thingId),
  );
  expect(waiting).toMatchObject({ answer: 'waiting', at: now - 50_000 });
  const [late] = await phone.send(phone.line(4, now - 30_000, thingId));
  expect(late).toMatchObject({ answer: 'recorded', timeUncertain: true });
  expect(late !== undefined && 'at' in late ? late.at : null).toBeLessThan(now - 50_000);
});

test('when a phone was last seen is kept to the minute', async () => {
  const { placeId, thingId } = await makeGround();
  const phone = makePhone(placeId);
  const first = now;
  await phone.send(phone.line(1, now, thingId));
  expect(await phone.seenAt()).toBe(first);
  now += 50_000;
  await phone.send(phone.line(2, now, thingId));
  expect(await phone.seenAt()).toBe(first);
  now += 50_000;
  await phone.send(phone.line(3, now, thingId));
  expect(await phone.seenAt()).toBe(first + 100_000);
});
