// No input of the record gives a 500: each field of each request is given what it must not be.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { plainFacts } from './facts.ts';
import { ifMatch, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
let place: string;
let item: string;
beforeAll(async () => {
  service = await startRecord();
  place = await makePlace(service);
  item = await makeItem(service);
});
afterAll(() => service.close());

const placeFacts = {
  kind: 'store',
  name: 'P',
  parentId: null,
  sort: 0,
  zone: null,
  address: null,
  note: null,
};
const money = { amountMinor: 1, currency: 'EUR', onDate: '2026-01-01' };
const newStop = () => ({
  ...{ id: randomUUID(), jobId: null, name: 'S', kind: 'hotel', zone: 'UTC', startsAt: 0, unnamed: false },
  place: { id: randomUUID(), name: 'S', isNew: true },
});
const classFacts = {
  ...{ name: 'C', parentId: null, check: 'seen', forgotten: 0, essential: false },
  ...{ lifeMonths: null, residualPermille: null, needs: [] },
};
const outfit = {
  ...{ name: 'O', currency: 'EUR', zone: 'UTC', units: 'metric', yearEnd: '12-31' },
  ...{ mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] },
};
const party = { name: 'P', role: 'crew', contact: null, email: null, phone: null, address: null, note: null };
const line = { thingId: null, classId: null, number: 1, spares: 0 };

/** A request of each kind that would be taken, or nearly. */
const requests = (): [string, string, Record<string, unknown>][] => [
  ['PUT', `/api/things/${randomUUID()}`, { ...plainFacts, kind: 'item', placeId: place, number: 1 }],
  ['POST', '/api/items', { ...plainFacts, vehicle: false }],
  ['POST', '/api/counted-gear', plainFacts],
  ['POST', `/api/things/${item}/values`, { ...money, source: 's', id: randomUUID() }],
  ['POST', '/api/places', placeFacts],
  ['POST', '/api/classes', { ...classFacts, name: randomUUID() }],
  ['POST', '/api/parties', party],
  ['POST', '/api/people', { name: 'N', role: 'crew' }],
  ['POST', '/api/packages', { name: 'P', note: null, lines: [{ ...line, thingId: item }] }],
  ['POST', '/api/sundries', { ...money, placeId: place, classId: null, description: 'd' }],
  ['POST', '/api/jobs', { name: 'J', partyId: null, startsOn: null, endsOn: null, note: null }],
  ['PATCH', `/api/stops/${randomUUID()}`, { name: 'N', jobId: null, endsAt: 5 }],
  ['PUT', '/api/outfit', outfit],
  ['POST', '/api/write-offs', { thingId: item, number: 1, onDate: '2026-01-01', reason: 'lost', note: null }],
];

const BAD: readonly unknown[] = [
  ...[null, true, 0, -1, 1.5, 1e300, 2 ** 53, '', ' ', 'x', '\u0000', '\ud800', 'a'.repeat(5_000)],
  ...[
    '0000-01-01',
    '9999-12-31',
    '2026-02-30',
    [],
    [null],
    {},
    { a: 1 },
    [[[[[]]]]],
    '00000000-0000-0000-0000-000000000000',
  ],
];

test('whatever stands in a field, the answer is no failure of the service', async () => {
  for (const [method, path, body] of requests())
    for (const field of [...Object.keys(body), 'unknownField']) {
      const asked = [...BAD, place, item].map(async (bad) => {
        const headers = method === 'PATCH' ? ifMatch(1) : {};
        const reply = await service.ask(method, path, { ...body, [field]: bad }, headers);
        return { status: reply.status, bad, text: reply.text };
      });
      const failed = (await Promise.all(asked)).filter(({ status }) => status >= 500);
      expect(failed, `${method} ${path} ${field}`).toEqual([]);
    }
});

test('whatever stands in a new stop, the answer is no failure of the service', async () => {
  for (const field of Object.keys(newStop()))
    for (const bad of [
      ...BAD,
      place,
      item,
      { id: place, name: 'x', isNew: 3 },
      { id: item, name: 'x', isNew: true },
    ]) {
      const stop = newStop();
      const reply = await service.ask('PUT', `/api/stops/${stop.id}`, { ...stop, [field]: bad });
      expect(reply.status, `${field} ${JSON.stringify(bad)} ${reply.text}`).toBeLessThan(500);
    }
});

test('a body that is no object is refused everywhere', async () => {
  for (const [method, path] of requests())
    for (const body of [null, [], 7, true, [[]]]) {
      const reply = await service.ask(method, path, body, method === 'PATCH' ? ifMatch(1) : {});
      expect(reply.status, `${method} ${path} ${JSON.stringify(body)}`).toBe(400);
    }
});

test('ids of other kinds and no ids at all are not there', async () => {
  const lists = [
    'things',
    'items',
    'counted-gear',
    'consumables',
    'classes',
    'parties',
    'people',
    'packages',
  ];
  for (const list of [...lists, 'sundries', 'jobs', 'stops', 'pictures'])
    for (const [id, status] of [
      [randomUUID(), 404],
      [place, 404],
      ['x', 400],
      ['%00', 400],
    ] as const)
      expect((await service.ask('GET', `/api/${list}/${id}`)).status, `${list} ${id}`).toBe(status);
});

test('an edit of what is not there, or under a version that is none, is told so', async () => {
  for (const [path, body] of [
    ['/api/items', plainFacts],
    ['/api/places', placeFacts],
    ['/api/classes', classFacts],
    ['/api/parties', party],
    ['/api/people', { name: 'N', role: 'crew' }],
    ['/api/packages', { name: 'P', note: null, lines: [] }],
    ['/api/jobs', { name: 'J', partyId: null, startsOn: null, endsOn: null, note: null }],
  ] as const) {
    expect((await service.ask('PUT', `${path}/${randomUUID()}`, body, ifMatch(1))).status, path).toBe(404);
    const made = await service.ask('POST', path, body);
    expect(made.status, path).toBe(201);
    for (const match of ['"7"', 'nonsense', '"x"']) {
      const reply = await service.ask('PUT', `${path}/${made.body.id}`, body, { 'if-match': match });
      expect(reply.status, `${path} ${match}`).toBe(412);
    }
  }
});
