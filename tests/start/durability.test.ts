// Law 11: what the service acknowledged survives kill -9 of the service and of its database, and is there once.
import { randomBytes, randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import pg from 'pg';
import { expect, test } from 'vitest';
import { makeUuidV7 } from '#domain/ids.ts';
import { standingOf } from '#domain/ledger.ts';
import { batchAnswerSchema } from '#domain/movement.ts';
import { recordedOf } from '../../api/movements/line-rows.ts';
import { plainFacts } from '../api/facts.ts';
import {
  makeFolder,
  readDatabasePid,
  readDatabaseUrl,
  startHealthy,
  startService,
  waitFor,
  waitUntilHealthy,
} from './service.ts';

const KILLS = 10;
const PHONES = 3;
/** Lines that have to be acknowledged between two kills, so that every kill falls into a running stream. */
const LINES_BETWEEN = 12;

async function post(address: string, path: string, body: object): Promise<string> {
  const answer = await fetch(new URL(path, address), {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
    signal: AbortSignal.timeout(15_000),
  });
  if (!answer.ok) throw new Error(`${path} was answered ${answer.status}: ${await answer.text()}`);
  return answer.text();
}

async function makeGround(address: string) {
  const make = async (path: string, facts: object) => String(JSON.parse(await post(address, path, facts)).id);
  const store = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };
  const places = ['Boathouse', 'Reed hut', 'Dry shelf'].map((name) =>
    make('/api/places', { ...store, name }),
  );
  const items = ['Marsh lamp', 'Long lens', 'Field radio'].map((name) =>
    make('/api/items', { ...plainFacts, name }),
  );
  const pegs = await make('/api/consumables', { ...plainFacts, name: 'Tent pegs' });
  return { places: await Promise.all(places), items: await Promise.all(items), pegs };
}
type Ground = Awaited<ReturnType<typeof makeGround>>;

/** What was acknowledged, with the time that was given; and every answer that should not have come. */
interface Heard {
  readonly at: Map<string, number>;
  readonly odd: unknown[];
  sending: boolean;
}

function makePen(ground: Ground, n: number) {
  const stamp = { deviceId: randomUUID(), clockRun: randomUUID(), personId: null };
  const said = { stopId: null, round: null, note: null, check: 'scanned', why: 'tidy', spot: null };
  let deviceNo = 0;
  const line = () => {
    deviceNo += 1;
    const deviceAt = Date.now();
    const own = { id: makeUuidV7(deviceAt, randomBytes(16)), deviceNo, deviceAt };
    const toId = ground.places[(deviceNo + n) % ground.places.length];
    const thingId = ground.items[(deviceNo * 2 + n) % ground.items.length];
    return deviceNo % 4 === 0
      ? { kind: 'quantity', ...stamp, ...own, ...said, thingId: ground.pegs, number: 2, fromId: null, toId }
      : { kind: 'move', ...stamp, ...own, ...said, thingId, code: null, toId, sealUnbroken: false };
  };
  return { line, clocks: [{ clockRun: stamp.clockRun, offsetMs: 0 }] };
}

/** Sends as a phone does: the same lines again until they are answered, then the next ones. */
async function runPhone(address: string, ground: Ground, n: number, heard: Heard): Promise<void> {
  const { line, clocks } = makePen(ground, n);
  for (let batch = 0; heard.sending; batch += 1) {
    const movements = Array.from({ length: batch % 3 === 0 ? 4 : 1 }, line);
    const text = await waitFor('an answer to lines that were sent', () =>
      post(address, '/api/movements', { clocks, movements }).catch(() => undefined),
    );
    for (const answer of batchAnswerSchema.parse(JSON.parse(text)).answers) {
      const isKept = answer.answer === 'recorded' || answer.answer === 'already-known';
      if (isKept && !heard.at.has(answer.id)) heard.at.set(answer.id, answer.at);
      else heard.odd.push(answer);
    }
    await wait(5);
  }
}

async function readLedger(url: string) {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  const read = async (statement: string) => (await client.query(statement)).rows;
  const lines = await read(
    'select id, body, thing_id as "thingId", at::float8 as at, time_uncertain as "timeUncertain" from movement',
  );
  const waiting = await read('select id from movement_waiting');
  const positions = await read('select thing_id || place_id::text || movement_id as row from position');
  const levels = await read(
    'select thing_id || place_id::text as row, number::int from stock_level where number <> 0',
  );
  await client.end();
  return { lines, waiting, positions, levels };
}

/** Kills the service and starts it again, then its database, which the service starts again; each after some lines. */
async function killAgainAndAgain(
  data: string,
  first: Awaited<ReturnType<typeof startHealthy>>,
  heard: Heard,
): Promise<void> {
  const someMore = async (): Promise<void> => {
    const before = heard.at.size;
    await waitFor('more lines to be acknowledged', () =>
      heard.at.size >= before + LINES_BETWEEN || heard.odd.length > 0 ? true : undefined,
    );
  };
  let service: Pick<typeof first, 'kill' | 'ended'> = first;
  for (let kill = 0; kill < KILLS; kill += 1) {
    await someMore();
    service.kill('SIGKILL');
    await service.ended;
    const next = startService({ data, port: Number(new URL(first.address).port) });
    expect(await waitUntilHealthy(next)).toBe(first.address);
    service = next;
    await someMore();
    process.kill(readDatabasePid(data), 'SIGKILL');
  }
  await someMore();
}

test('what was acknowledged is in the ledger once, however often service and database are killed', {
  timeout: 400_000,
}, async () => {
  const data = join(makeFolder(), 'data');
  const first = await startHealthy({ data });
  const ground = await makeGround(first.address);
  const heard: Heard = { at: new Map(), odd: [], sending: true };
  const phones = Array.from({ length: PHONES }, (_, n) => runPhone(first.address, ground, n, heard));
  try {
    await killAgainAndAgain(data, first, heard);
  } finally {
    heard.sending = false;
    await Promise.all(phones);
  }
  const { lines, waiting, positions, levels } = await readLedger(readDatabaseUrl(data));
  expect(heard.odd).toEqual([]);
  expect(waiting).toEqual([]);
  // A phone stops only when its last lines are answered, so the ledger holds these and no others, each at its time.
  const kept = lines.map((line) => `${line.id} ${line.at}`).sort();
  expect(kept).toEqual([...heard.at].map(([id, at]) => `${id} ${at}`).sort());
  expect(kept.length).toBeGreaterThan(2 * KILLS * LINES_BETWEEN);
  const standing = standingOf({ since: 0, base: [], levels: [], lines: lines.map(recordedOf) });
  expect(positions.map(({ row }) => row).sort()).toEqual(
    [...standing.positions.values()].map((at) => at.thingId + at.placeId + at.movementId).sort(),
  );
  expect(new Map(levels.map(({ row, number }) => [row, number]))).toEqual(
    new Map(
      [...standing.levels].flatMap(([thingId, byPlace]) =>
        [...byPlace].map(([placeId, number]) => [thingId + placeId, number] as const),
      ),
    ),
  );
});
