// Counts over HTTP: opened, checked, closed and read from the ledger as it stands; and the same count computed a second
// time, by SQL.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Count, countSchema } from '#domain/count-shape.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { type Dice, diceFrom, pick } from './fuzz.ts';
import { type Line, makePhone, type Phone, send } from './lines.ts';

// A day in the past, in a zone without summer time: it turns at 05:00 UTC.
const DAY = Date.UTC(2024, 4, 2, 5);
const HOUR = 3_600_000;
const OPENED = DAY + 12 * HOUR;
const NOW = DAY + 20 * HOUR;

let service: Service;
beforeAll(async () => {
  service = await startService({ clock: () => NOW });
  const facts = {
    name: 'Reed',
    currency: 'EUR',
    zone: 'UTC',
    units: 'metric',
    yearEnd: '12-31',
    mainsVolts: 230,
  };
  const reply = await service.ask('PUT', '/api/outfit', {
    body: { ...facts, dayTurnsMinutes: 300, lastLook: [] },
  });
  expect(reply.status, reply.text).toBe(201);
});
afterAll(() => service.close());

async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await service.ask('POST', path, { body });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name: string, more = {}) => make('/api/items', { ...plainFacts, name, ...more });
const makePlace = (kind: string, name: string, parentId: string | null = null) =>
  make('/api/places', { kind, name, parentId, sort: 0, zone: null, address: null, note: null });

async function makeStop(): Promise<string> {
  const id = randomUUID();
  const place = { id: randomUUID(), name: 'North hide', isNew: true };
  const stop = {
    jobId: null,
    name: 'North hide',
    kind: 'location',
    zone: 'UTC',
    startsAt: DAY,
    unnamed: false,
  };
  expect((await service.ask('PUT', `/api/stops/${id}`, { body: { id, ...stop, place } })).status).toBe(201);
  return id;
}

const opening = (phone: Phone, stopId: string, vehicleId: string, at = OPENED) =>
  phone.line(at, { kind: 'open', stopId, round: 1, vehicleId });

async function readCount(stopId: string): Promise<Count> {
  const reply = await service.ask('GET', `/api/counts/${stopId}/1`);
  expect(reply.status, reply.text).toBe(200);
  return countSchema.parse(reply.body);
}
const statesOf = (count: Count) => Object.fromEntries(count.lines.map((line) => [line.name, line.state]));

/** A truck with one drawer and three things in it since long ago, and an open count at a stop. */
async function makeEvening() {
  const truck = await makeItem('Truck', { vehicle: true });
  const drawer = await makePlace('compartment', 'Drawer', truck);
  const hide = await makePlace('location', 'Hide');
  const things = {
    lamp: await makeItem('Lamp'),
    lens: await makeItem('Lens'),
    charger: await makeItem('Charger'),
  };
  const stopId = await makeStop();
  const phone = makePhone();
  await send(
    service,
    [
      ...Object.values(things).map((id, n) =>
        phone.move(DAY - 5 * HOUR + n, id, drawer, { why: 'bring-in' }),
      ),
      phone.move(DAY + HOUR, things.lens, hide, { stopId, round: 1, spot: 'on the rail' }),
      opening(phone, stopId, truck),
    ],
    phone.clocks,
  );
  return { truck, drawer, hide, ...things, stopId, phone };
}

describe('an evening', () => {
  test('a count that nobody opened is not there', async () => {
    const reply = await service.ask('GET', `/api/counts/${await makeStop()}/1`);
    expect([reply.status, reply.body.type]).toEqual([404, '/problems/not-found']);
    expect((await service.ask('GET', '/api/counts/x/1')).status).toBe(400);
    expect((await service.ask('GET', `/api/counts/${randomUUID()}/0`)).status).toBe(400);
  });

  test('expects what was aboard when the day began, and settles its lines as lines of the ledger come in', async () => {
    const { stopId, drawer, phone, lamp, lens, charger } = await makeEvening();
    expect(statesOf(await readCount(stopId))).toEqual({ Lamp: 'open', Lens: 'open', Charger: 'open' });
    const back = { why: 'wrap', stopId, round: 1 };
    await send(
      service,
      [
        phone.move(OPENED + 1, lamp, drawer, { ...back, check: 'seen' }),
        phone.move(OPENED + 2, lens, drawer, back),
        phone.line(OPENED + 3, {
          ...{ kind: 'absence', stopId, round: 1, thingId: charger, toId: null },
          ...{ finding: 'not-found', number: null, shownId: null },
        }),
      ],
      phone.clocks,
    );
    const count = await readCount(stopId);
    expect(statesOf(count)).toEqual({ Lamp: 'aboard', Lens: 'aboard', Charger: 'absent' });
    expect(count.sums).toMatchObject({ expected: 3, aboard: 2, notFound: 1, away: 0 });
    expect([count.mayClose, count.allAboard]).toEqual([true, false]);
  });

  test('does not close while a line is open; closes once all have an answer; what comes later stands beside', async () => {
    const { stopId, drawer, phone, lamp, lens, charger, hide } = await makeEvening();
    const close = () => service.ask('POST', `/api/counts/${stopId}/1/close`);
    const early = await close();
    expect([early.status, early.body]).toMatchObject([409, { type: '/problems/lines-open', open: 3 }]);
    const back = { why: 'wrap', check: 'seen', stopId, round: 1 };
    const missing = { kind: 'absence', stopId, round: 1, finding: 'not-found', number: null, shownId: null };
    await send(
      service,
      [
        phone.move(OPENED + 1, lamp, drawer, back),
        phone.move(OPENED + 2, lens, drawer, back),
        phone.line(OPENED + 3, { ...missing, thingId: charger, toId: null }),
      ],
      phone.clocks,
    );
    const closed = await close();
    expect(closed.status, closed.text).toBe(200);
    const text = countSchema.parse(closed.body).closed;
    expect(text?.lines.map((line) => [line.name, line.said]).sort()).toEqual([
      ['Charger', 'not-found'],
      ['Lamp', 'seen'],
      ['Lens', 'seen'],
    ]);
    expect((await close()).body.closed).toEqual(text);

    const out = await service.ask('GET', '/api/still-out');
    expect(JSON.stringify(out.body)).toContain(charger);
    const late = makePhone();
    await send(service, [late.move(NOW - 1_000, charger, drawer, { why: 'wrap' })], late.clocks);
    expect((await readCount(stopId)).closed).toEqual(text);
    expect(JSON.stringify((await service.ask('GET', '/api/still-out')).body)).not.toContain(charger);
    expect(hide).not.toBe(drawer);
  });

  test('all counts are listed, unfinished ones first, in pages that miss nothing', async () => {
    const [first, second] = [await makeEvening(), await makeEvening()];
    const seen: { stopId: string; open: boolean }[] = [];
    for (let after = ''; ; ) {
      const { body } = await service.ask('GET', `/api/counts?limit=1${after}`);
      if (Array.isArray(body.counts)) {
        seen.push(...body.counts.map((entry) => ({ stopId: entry.stopId, open: entry.closedAt === null })));
      }
      if (body.next === null) break;
      after = `&after=${body.next}`;
    }
    expect(seen.map((entry) => entry.stopId)).toEqual(expect.arrayContaining([first.stopId, second.stopId]));
    expect(new Set(seen.map((entry) => entry.stopId)).size).toBe(seen.length);
    expect(seen.map((entry) => entry.open)).toEqual(
      seen
        .map((entry) => entry.open)
        .sort()
        .reverse(),
    );
  });

  test('a line that comes late from another phone settles what it is about', async () => {
    const { stopId, drawer, lamp } = await makeEvening();
    const other = makePhone();
    await send(
      service,
      [other.move(OPENED + 5, lamp, drawer, { why: 'wrap', stopId, round: 1 })],
      other.clocks,
    );
    expect(statesOf(await readCount(stopId))).toMatchObject({ Lamp: 'aboard' });
  });
});

describe('the same count, computed a second time by SQL', () => {
  const AWAY = ['left-on-purpose', 'with-somebody', 'lend', 'hand-over', 'rent-out', 'consumed'];
  const ITEMS = 40;
  const states = new Set<string>();
  const PARTY = {
    name: 'Ines',
    role: 'crew',
    contact: null,
    email: null,
    phone: null,
    address: null,
    note: null,
  };

  interface World {
    readonly truck: string;
    readonly aboard: readonly string[];
    readonly outside: readonly string[];
    readonly away: readonly string[];
    readonly items: readonly string[];
  }

  async function makeWorld(): Promise<World> {
    const truck = await makeItem('Truck', { vehicle: true });
    const other = await makeItem('Other truck', { vehicle: true });
    const drawers = await Promise.all(['Left', 'Right'].map((name) => makePlace('compartment', name, truck)));
    const box = await makeItem('Case', { container: true });
    const phone = makePhone();
    await send(
      service,
      [phone.move(DAY - 90 * HOUR, box, drawers[0] ?? '', { why: 'bring-in' })],
      phone.clocks,
    );
    return {
      truck,
      aboard: [truck, ...drawers, box],
      outside: [await makePlace('location', 'Bank'), other],
      away: [await makePlace('store', 'Boathouse'), await make('/api/parties', PARTY)],
      items: await Promise.all(Array.from({ length: ITEMS }, (_, n) => makeItem(`Thing ${n}`))),
    };
  }

  /** One random move of a thing; away reasons go outside the truck, as people use them. */
  function makeMove(phone: Phone, world: World, at: number, dice: Dice): Line {
    const thingId = pick(world.items, dice) ?? '';
    const check = pick(['scanned', 'seen', 'with-container', null], dice);
    if (dice() < 0.5) return phone.move(at, thingId, pick(world.aboard, dice) ?? '', { why: 'wrap', check });
    if (dice() < 0.3) return phone.move(at, thingId, pick(world.away, dice) ?? '', { why: 'arrival', check });
    if (dice() < 0.3) {
      return phone.move(at, thingId, pick(world.outside, dice) ?? '', { why: pick(AWAY, dice), check: null });
    }
    return phone.move(at, thingId, pick(world.outside, dice) ?? '', { why: 'load-in', check });
  }

  /** The state of each asked item and the line that decides it: the last that says anything, by windows over moves. */
  function readBySql(truck: string, stopId: string, count: Count) {
    const { sql } = service.database;
    const counted = sql`(
      select "thingId" as thing_id, state, "lineId" as line_id from jsonb_to_recordset(${sql.json(
        count.lines.map(({ thingId, state, said }) => ({ thingId, state, lineId: said?.lineId ?? null })),
      )}) as line ("thingId" uuid, state text, "lineId" uuid))`;
    const bySql = sql`(
      with recursive living as (
        select m.*, m.body->>'why' as why, m.body->>'check' as "check" from movement m
        where m.kind = 'move' and not exists (select from movement v where v.voids = m.id)),
      opened as (select min(at) as at from movement where kind = 'open' and stop_id = ${stopId}),
      aboard (id) as (
        select ${truck}::uuid
        union select next.id from aboard cross join lateral (
          select p.id from place p where p.parent_id = aboard.id
          union all
          select p.id from place p join position x on x.thing_id = p.thing_id
          where p.kind = 'container' and x.place_id = aboard.id) next),
      told as (
        select living.*, why = any(${AWAY}) as by_reason, to_id in (select id from aboard) as is_aboard,
          to_id in (select id from place where kind in ('store', 'party')) as is_stored,
          coalesce(living."check" not in ('with-container', 'not-opened'), false) as vouched
        from living join thing on thing.id = living.thing_id where thing.kind = 'item' and thing.id <> ${truck}),
      began as (
        select distinct on (thing_id) thing_id, is_aboard from told where at < ${DAY} order by thing_id, at desc, id desc),
      before as (
        select distinct on (thing_id) thing_id, by_reason or is_stored as is_away from told
        where at >= ${DAY} and at < (select at from opened) order by thing_id, at desc, id desc),
      brought as (
        select distinct thing_id from told where is_aboard and at >= ${DAY} and at < (select at from opened)),
      asked as (
        select thing_id from (select thing_id from began where is_aboard union select thing_id from brought) both_ways
        where thing_id not in (select thing_id from before where is_away)),
      last as (
        select distinct on (thing_id) * from told where at >= (select at from opened) order by thing_id, at desc, id desc),
      decisive as (
        select distinct on (thing_id) * from told
        where at >= (select at from opened) and (by_reason or not is_aboard or vouched)
        order by thing_id, at desc, id desc),
      states as (
        select asked.thing_id, d.id, case
          when d.by_reason then case when d.id = l.id then 'away' else 'open' end
          when d.is_aboard then 'aboard' else 'open' end as state
        from asked left join decisive d using (thing_id) left join last l using (thing_id))
      select thing_id, state, case when state = 'open' then null else id end as line_id from states)`;
    return sql`(${counted} except ${bySql}) union all (${bySql} except ${counted})`;
  }

  test.each([1, 2, 3, 4, 5, 6])('day %s: no row is in one and not in the other', async (seed) => {
    const dice = diceFrom(seed);
    const world = await makeWorld();
    const stopId = await makeStop();
    const [phone, other] = [makePhone(), makePhone()];
    const moves: Line[] = [];
    const add = (from: number, until: number, lines: number) => {
      const times = Array.from({ length: lines }, () => from + Math.floor(dice() * (until - from))).sort(
        (a, b) => a - b,
      );
      for (const at of times) moves.push(makeMove(dice() < 0.5 ? phone : other, world, at, dice));
    };
    add(DAY - 60 * HOUR, DAY, 60);
    add(DAY, OPENED, 40);
    const open = opening(phone, stopId, world.truck);
    add(OPENED + 1, NOW - HOUR, 50);
    const backs = moves.filter(() => dice() < 0.15).map((line) => other.takeBack(NOW - HOUR, line));
    const lines = [...moves, open, ...backs]
      .map((line) => [dice(), line] as const)
      .sort(([a], [b]) => a - b)
      .map(([, line]) => line);
    await send(service, lines, [...phone.clocks, ...other.clocks]);
    const count = await readCount(stopId);
    expect([...(await readBySql(world.truck, stopId, count))]).toEqual([]);
    for (const line of count.lines) states.add(line.state);
  });

  test('these days had lines of every such state', () => {
    expect(states).toEqual(new Set(['open', 'aboard', 'away']));
  });
});

test('what others do with things elsewhere on the same day changes nothing in a count', async () => {
  const { stopId } = await makeEvening();
  const before = await readCount(stopId);
  const elsewhere = await makePlace('store', 'Far store');
  const phone = makePhone();
  const things = await Promise.all(Array.from({ length: 30 }, (_, n) => makeItem(`Far ${n}`)));
  await send(
    service,
    things.map((id, n) => phone.move(DAY + n, id, elsewhere)),
    phone.clocks,
  );
  expect(await readCount(stopId)).toEqual(before);
});
