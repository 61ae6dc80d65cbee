// No input gives a 500. Every route is asked with what nobody should send; each answer is a clear problem or a success.
import { randomBytes, randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { makeUuidV7 } from '#domain/ids.ts';
import { batchAnswerSchema, movementSchema } from '#domain/movement.ts';
import { ROUTES } from '../../api/app.ts';
import type { Route } from '../../api/http/route.ts';
import { type Reply, type Sent, type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { type Dice, diceFrom, makeValue, pick, SPOILT, spoil } from './fuzz.ts';

const SEED = 20_261_125;
const NEARLY_RIGHT_PER_ROUTE = 60;

let service: Service;
let ids: string[];

beforeAll(async () => {
  service = await startService();
  ids = await makeSomeRecords();
});
afterAll(() => service.close());

async function make(path: string, body: unknown): Promise<string> {
  const reply = await service.ask('POST', path, { body });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}

/** One record of most kinds, so that a request can name what there is. */
async function makeSomeRecords(): Promise<string[]> {
  const outfit = {
    name: 'Reedline Film',
    currency: 'EUR',
    zone: 'Europe/Lisbon',
    units: 'metric',
    yearEnd: '12-31',
    mainsVolts: 230,
    dayTurnsMinutes: 300,
    lastLook: [],
  };
  expect((await service.ask('PUT', '/api/outfit', { body: outfit })).status).toBe(201);
  const place = { name: 'Boathouse', parentId: null, sort: 0, zone: null, address: null, note: null };
  const store = await make('/api/places', { ...place, kind: 'store' });
  const shelf = await make('/api/places', { ...place, kind: 'compartment', name: 'Shelf', parentId: store });
  const lamp = await make('/api/items', plainFacts);
  const box = await make('/api/items', { ...plainFacts, name: 'Lens case', container: true });
  const job = await make('/api/jobs', {
    name: 'Marsh film',
    partyId: null,
    startsOn: null,
    endsOn: null,
    note: null,
  });
  const stopId = randomUUID();
  const stop = {
    jobId: job,
    name: 'North hide',
    kind: 'location',
    zone: 'Europe/Lisbon',
    startsAt: 0,
    unnamed: false,
  };
  const made = await service.ask('PUT', `/api/stops/${stopId}`, {
    body: { id: stopId, ...stop, place: { id: store, name: 'Boathouse', isNew: false } },
  });
  expect([200, 201], made.text).toContain(made.status);
  return [store, shelf, lamp, box, job, stopId, randomUUID(), '018f0000-0000-7000-8000-000000000001'];
}

/** A success, or a problem (RFC 9457) with a type, a title and the status of the answer; never a fault of ours. */
function expectClear(reply: Reply, asked: string): void {
  expect(reply.status, `${asked}\n${reply.text.slice(0, 500)}`).toBeLessThan(500);
  if (reply.status < 400) return;
  expect(reply.headers.get('content-type'), asked).toMatch(/^application\/problem\+json/);
  expect(reply.body, asked).toMatchObject({
    type: expect.stringMatching(/^\/problems\/[a-z-]+$/),
    title: expect.stringMatching(/\.$/),
    status: reply.status,
  });
}

const BAD_PARTS = [
  'x',
  '%00',
  '%ff',
  '%2e%2e%2f',
  'null',
  '-1',
  '1e9',
  'é',
  'a'.repeat(3_000),
  "'; drop table thing --",
];
const partOf = (value: string) => (value.includes('%') ? value : encodeURIComponent(value));

function pathOf(route: Route, part: (name: string) => string): string {
  return route.path.replace(/\{(\w+)\}/g, (_whole, name: string) => partOf(part(name)));
}

const ask = async (route: Route, path: string, sent: Sent) => {
  const asked = `${route.method.toUpperCase()} ${path.slice(0, 300)} ${JSON.stringify(sent.body)?.slice(0, 1_500)}`;
  expectClear(await service.ask(route.method.toUpperCase(), path, sent), asked);
};

const IF_MATCH = ['"1"', '"2"', '*', 'x', '"-1"', 'W/"1"'];
const asJson = { 'content-type': 'application/json' };
/** Now and then as an edit of what there is, now and then as something new. */
const headersFor = (dice: Dice): Record<string, string> =>
  dice() < 0.5 ? asJson : { ...asJson, 'if-match': pick(IF_MATCH, dice) ?? '' };

const knownPart = (dice: Dice) => (name: string) => (name === 'round' ? '1' : (pick(ids, dice) ?? ''));
const nameOf = (route: Route) => `${route.method.toUpperCase()} ${route.path}`;
const schemaOf = (schema: z.ZodType) => z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' });

describe('no route answers a 500', () => {
  test.each(ROUTES.map((route) => [nameOf(route), route] as const))(
    '%s, to addresses and questions that mean nothing',
    async (_name, route) => {
      const dice = diceFrom(SEED);
      for (const bad of BAD_PARTS)
        await ask(
          route,
          pathOf(route, () => bad),
          {},
        );
      const path = pathOf(route, knownPart(dice));
      const asked = Object.keys(schemaOf(route.query).properties ?? {});
      for (const name of [...asked, 'unheard']) {
        for (const bad of [...BAD_PARTS, '', '0', '9007199254740993', '0.5', 'true']) {
          await ask(route, `${path}?${name}=${partOf(bad)}`, {});
        }
        await ask(route, `${path}?${name}=1&${name}=2&${name}[]=3&${name}[a][b]=4`, {});
      }
    },
  );

  const taking = ROUTES.filter((route) => route.body !== undefined && route.bytesMax === undefined);
  test.each(taking.map((route) => [nameOf(route), route] as const))(
    '%s, to bodies that mean nothing',
    async (_name, route) => {
      const path = pathOf(route, knownPart(diceFrom(SEED)));
      for (const body of SPOILT) {
        await ask(route, path, {
          body: JSON.stringify(body),
          headers: asJson,
        });
      }
      const deep = `${'{"a":'.repeat(50_000)}1${'}'.repeat(50_000)}`;
      await ask(route, path, { body: deep, headers: asJson });
    },
  );

  test.each(taking.map((route) => [nameOf(route), route] as const))(
    '%s, to bodies that are nearly right',
    async (_name, route) => {
      const dice = diceFrom(SEED);
      const schema = schemaOf(route.body ?? z.unknown());
      for (let n = 0; n < NEARLY_RIGHT_PER_ROUTE; n += 1) {
        const right = makeValue(schema, { dice, ids });
        const body = n % 3 === 0 ? right : spoil(right, dice);
        await ask(route, pathOf(route, knownPart(dice)), {
          body: JSON.stringify(body),
          headers: headersFor(dice),
        });
      }
    },
  );

  const bytes = ROUTES.filter((route) => route.bytesMax !== undefined);
  test.each(bytes.map((route) => [nameOf(route), route] as const))(
    '%s, to bytes that mean nothing',
    async (_name, route) => {
      const path = pathOf(route, knownPart(diceFrom(SEED)));
      for (const body of [
        new Uint8Array(),
        new Uint8Array([0]),
        new Uint8Array(5_000).fill(0xff),
        Buffer.from('a,b\n"1'),
      ]) {
        await ask(route, path, {
          body: new Uint8Array(body),
          headers: { 'content-type': 'application/octet-stream' },
        });
      }
    },
  );
});

test('of a batch of lines that are nearly right each gets an answer of its own, and none spoils the others', async () => {
  const dice = diceFrom(SEED);
  const schema = z.toJSONSchema(movementSchema, { io: 'input', unrepresentable: 'any' });
  const lineIds = Array.from({ length: 2_000 }, () => makeUuidV7(Date.now(), randomBytes(16)));
  const seen = new Set<string>();
  for (let n = 0; n < 40; n += 1) {
    const movements = Array.from({ length: 50 }, (_, at) => {
      const line = makeValue(schema, { dice, ids: [...ids, ...lineIds.slice(0, 5)] });
      const own = { ...Object(line), id: dice() < 0.9 ? lineIds[n * 50 + at] : lineIds[0] };
      return dice() < 0.3 ? spoil(own, dice) : own;
    });
    const reply = await service.ask('POST', '/api/movements', { body: { clocks: [], movements } });
    expect(reply.status, reply.text.slice(0, 500)).toBe(200);
    const answers = batchAnswerSchema.parse(reply.body).answers;
    expect(answers).toHaveLength(movements.length);
    for (const answer of answers) seen.add(answer.answer === 'refused' ? answer.kind : answer.answer);
  }
  expect([...seen].sort()).toEqual(
    expect.arrayContaining(['id-reused', 'malformed', 'recorded', 'void-of-void', 'waiting']),
  );
});
