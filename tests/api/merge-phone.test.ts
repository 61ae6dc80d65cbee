// What a phone that was offline makes of a merge once it has heard: the feed changes its book as a new catalogue would.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { catalogueSchema, feedPageSchema } from '#domain/feed.ts';
import { placeIdSchema, type StopId, stopIdSchema, thingIdSchema } from '#domain/ids.ts';
import { PLAIN_FACTS } from '#domain/thing.ts';
import { countBy } from '../../scanner/screens/use-stop.ts';
import { decideVerdict } from '../../scanner/store/decide-verdict.ts';
import {
  linesIn,
  makePhoneBook,
  makesStale,
  type PhoneBook,
  withChanges,
} from '../../scanner/store/phone-book.ts';
import { contextOf } from '../scanner/phone-making.ts';
import { type Service, startService } from './app.ts';
import { makePhone, send } from './lines.ts';

const DAY = Date.UTC(2024, 4, 2, 5);
const HOUR = 3_600_000;
const NOW = DAY + 12 * HOUR;
// A barcode of a maker's own.
const CODE = 'SEDGE-0042';
let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => NOW });
  const outfit = { name: 'Reed', currency: 'EUR', zone: 'UTC', units: 'metric', yearEnd: '12-31' };
  const body = { ...outfit, mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] };
  expect((await service.ask('PUT', '/api/outfit', { body })).status).toBe(201);
});
afterAll(() => service.close());

const ask = (method: string, path: string, body?: unknown) => service.ask(method, path, { body });
async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await ask('POST', path, body);
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name: string, more = {}) => make('/api/items', { ...PLAIN_FACTS, name, ...more });
const makePlace = (name: string, kind: string, parentId: string | null = null) =>
  make('/api/places', { kind, name, parentId, sort: 0, zone: null, address: null, note: null });

async function readPhone() {
  const catalogue = catalogueSchema.parse((await ask('GET', '/api/catalogue')).body);
  const lines = catalogue.lines.map(({ line, at, timeUncertain }) => ({ ...line, at, timeUncertain }));
  return { book: makePhoneBook({ ...catalogue, lines }), cursor: catalogue.cursor };
}

/** What the phone has after it read the feed from where it was; a book that went stale is read again, as a phone does. */
async function hear({ book, cursor }: Awaited<ReturnType<typeof readPhone>>): Promise<PhoneBook> {
  const path = `/api/feed?no=${cursor.no}&token=${encodeURIComponent(cursor.token)}&limit=2000`;
  const page = feedPageSchema.parse((await ask('GET', path)).body);
  const isStale = linesIn(page.changes).some((line) => makesStale(book, line));
  return isStale ? (await readPhone()).book : withChanges(book, page.changes);
}

async function makeEvening(saidAt: number) {
  const truck = await makeItem('Truck', { vehicle: true });
  const drawer = await makePlace('Drawer', 'compartment', truck);
  const hide = await makePlace('Hide', 'location');
  const [kept, gone] = [await makeItem('Twin charger'), await makeItem('Charger, double')];
  const code = `${CODE}-${randomUUID()}`;
  await ask('PUT', `/api/codes/${code}`, { thingId: gone });
  const stopId = stopIdSchema.parse(randomUUID());
  const stop = { jobId: null, name: 'Hide', kind: 'location', zone: 'UTC', startsAt: DAY, unnamed: false };
  const place = { id: hide, name: 'Hide', isNew: false };
  await ask('PUT', `/api/stops/${stopId}`, { id: stopId, ...stop, place });
  const phone = makePhone();
  const lines = [
    phone.move(saidAt, kept, drawer, { why: 'arrival' }),
    phone.move(saidAt + 1, gone, drawer, { why: 'arrival' }),
    phone.move(DAY + HOUR, gone, hide, { stopId, spot: 'at the wall socket' }),
    phone.line(DAY + 9 * HOUR, { kind: 'open', stopId, round: 1, vehicleId: truck }),
  ];
  await send(service, lines, phone.clocks);
  return { truck, drawer, hide, kept, gone, code, stopId };
}

function askedFor(book: PhoneBook, stopId: StopId): readonly string[] {
  const stop = book.stops.get(stopId);
  const count = stop === undefined ? null : countBy(book, stop, 1);
  return (count?.lines ?? []).map(({ name, last }) => `${name}, ${last?.spot ?? 'no spot'}`);
}

test.each([
  ['in the book', DAY - HOUR],
  ['long before the book', DAY - 400 * 24 * HOUR],
])(
  'lines %s: the tag means the thing that stays, and the count asks for that alone',
  async (_when, saidAt) => {
    const { truck, hide, kept, gone, code, stopId } = await makeEvening(saidAt);
    const before = await readPhone();
    expect(askedFor(before.book, stopId).slice().sort()).toEqual([
      'Charger, double, at the wall socket',
      'Twin charger, no spot',
    ]);
    await ask('POST', `/api/things/${gone}/merge`, { into: kept });

    const book = await hear(before);
    expect(askedFor(book, stopId)).toEqual(['Twin charger, at the wall socket']);
    const stop = book.stops.get(stopId);
    if (stop === undefined) throw new Error('the phone knows the stop');
    const vehicleId = placeIdSchema.parse(truck);
    const context = contextOf(book, { mode: 'aboard', stop, vehicleId, openedAt: DAY + 9 * HOUR });
    expect(decideVerdict(code, false, context)).toMatchObject({ kind: 'aboard', thing: { id: kept } });
    const at = book.standing.positions.get(thingIdSchema.parse(kept));
    expect(at).toMatchObject({ placeId: hide, at: DAY + HOUR });
    expect(book.standing.positions.get(thingIdSchema.parse(gone))).toBeUndefined();
    // What it keeps by the feed is what it would read anew.
    const anew = (await readPhone()).book;
    expect(new Map(book.standing.positions)).toEqual(new Map(anew.standing.positions));
    expect(book.codes).toEqual(anew.codes);
  },
);
