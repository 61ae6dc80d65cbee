// The one write path of the ledger over HTTP: what each line is answered, and that the cache of positions and numbers is
// what the ledger says, whoever wrote at the same time.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type LineAnswer, MOVEMENTS_PER_BATCH_MAX } from '#domain/movement.ts';
import type { TestDatabase } from '../database.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { type Dice, diceFrom, pick } from './fuzz.ts';
import { type Line, makePhone, newId, type Phone, send } from './lines.ts';

let service: Service;
beforeAll(async () => {
  service = await startService();
});
afterAll(() => service.close());

const T = Date.UTC(2024, 4, 2, 8);
const PLACE = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };
const STOP = { jobId: null, kind: 'location', zone: 'Europe/Lisbon', startsAt: T, unnamed: false };

async function make(path: string, body: Record<string, unknown>): Promise<string> {
  const reply = await service.ask('POST', path, { body });
  expect(reply.status, reply.text).toBe(201);
  return String(reply.body.id);
}
const makeItem = (name = 'Lamp') => make('/api/items', { ...plainFacts, name });
const makeCounted = (name = 'Clamp') => make('/api/counted-gear', { ...plainFacts, name });
const makePlace = (name = 'Boathouse') => make('/api/places', { ...PLACE, name });
const put = (path: string, body: Record<string, unknown>) => service.ask('PUT', path, { body });

async function positionOf(thingId: string): Promise<string | null> {
  const [row] = await service.database.sql<{ placeId: string }[]>`
    select place_id as "placeId" from position where thing_id = ${thingId}`;
  return row?.placeId ?? null;
}
async function levelsOf(thingId: string): Promise<Record<string, number>> {
  const rows = await service.database.sql<{ placeId: string; number: number }[]>`
    select place_id as "placeId", number from stock_level where thing_id = ${thingId} and number <> 0`;
  return Object.fromEntries(rows.map((row) => [row.placeId, row.number]));
}
const kindOf = (answer: LineAnswer | undefined) =>
  answer?.answer === 'refused' ? `refused ${answer.kind}` : answer?.answer;

describe('each line gets an answer of its own', () => {
  test('recorded once, already known from then on, with the same time', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const line = phone.move(T, lamp, shore);
    const [first] = await send(service, [line], phone.clocks);
    const [again] = await send(service, [line], [{ ...phone.clocks[0], offsetMs: 90_000 }]);
    expect(first).toEqual({ answer: 'recorded', id: line.id, at: T, timeUncertain: false });
    expect(again).toEqual({ answer: 'already-known', id: line.id, at: T, timeUncertain: false });
    expect(await positionOf(lamp)).toBe(shore);
  });

  test('a repeat inside a batch is known by its second time', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const line = phone.move(T, lamp, shore);
    expect((await send(service, [line, line], phone.clocks)).map(kindOf)).toEqual([
      'recorded',
      'already-known',
    ]);
  });

  test('the same line, its fields in another order and its ids in capitals, is the same line', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const line = phone.move(T, lamp, shore);
    await send(service, [line], phone.clocks);
    const turned = Object.fromEntries(Object.entries(line).reverse());
    const [answer] = await send(service, [
      { ...turned, id: line.id.toUpperCase(), thingId: lamp.toUpperCase() },
    ]);
    expect(kindOf(answer)).toBe('already-known');
  });

  test('the same id with other content is refused by name, and the first stays', async () => {
    const [lamp, shore, van, phone] = [await makeItem(), await makePlace(), await makePlace(), makePhone()];
    const line = phone.move(T, lamp, shore);
    await send(service, [line], phone.clocks);
    const answers = await send(service, [{ ...line, toId: van }], phone.clocks);
    expect(answers).toMatchObject([{ answer: 'refused', kind: 'id-reused', id: line.id, index: 0 }]);
    expect(await positionOf(lamp)).toBe(shore);
  });

  test('one bad line is refused with what is wrong, and the good ones beside it are recorded', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const good = phone.move(T, lamp, shore);
    const answers = await send(
      service,
      [{ ...good, id: newId(), number: 3, check: 'smelt' }, good, null],
      phone.clocks,
    );
    expect(answers.map(kindOf)).toEqual(['refused malformed', 'recorded', 'refused malformed']);
    const [bad] = answers;
    expect(bad?.answer === 'refused' && bad.fields.map((field) => field.pointer).sort()).toEqual([
      '/check',
      '/number',
    ]);
  });

  test.each([
    ['a number that is negative', { number: -1 }, '/number'],
    ['a number that is a fraction', { number: 1.5 }, '/number'],
    ['a number that is none', { number: 0 }, '/number'],
    ['an id that is no UUIDv7', { id: randomUUID() }, '/id'],
    ['a text with a NUL', { note: 'a\u0000b' }, '/note'],
    ['half a character', { note: '\ud83d' }, '/note'],
    ['a time before 1970', { deviceAt: -1 }, '/deviceAt'],
    ['a round without end', { round: 1e9 }, '/round'],
  ])('%s can never mean anything', async (_name, wrong, pointer) => {
    const phone = makePhone();
    const line = phone.quantity(T, randomUUID(), 1, randomUUID(), null);
    const [answer] = await send(service, [{ ...line, ...wrong }], phone.clocks);
    expect(answer).toMatchObject({ answer: 'refused', kind: 'malformed', index: 0 });
    expect(answer?.answer === 'refused' && answer.fields.map((field) => field.pointer)).toEqual([pointer]);
  });

  test('a batch holds at most 5,000 lines and at least one', async () => {
    for (const movements of [[], Array.from({ length: MOVEMENTS_PER_BATCH_MAX + 1 }, () => null)]) {
      const reply = await service.ask('POST', '/api/movements', { body: { clocks: [], movements } });
      expect(reply.status).toBe(400);
      expect(reply.body.errors).toMatchObject([{ pointer: '/movements' }]);
    }
  });

  test('a full batch of 5,000 lines is taken', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const lines = Array.from({ length: MOVEMENTS_PER_BATCH_MAX }, (_, n) => phone.move(T + n, lamp, shore));
    const answers = await send(service, lines, phone.clocks);
    expect(new Set(answers.map(kindOf))).toEqual(new Set(['recorded']));
  });

  test('a line from the future is recorded, at the time of receipt and marked uncertain', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const before = Date.now();
    const [answer] = await send(service, [phone.move(before + 86_400_000, lamp, shore)], phone.clocks);
    expect(answer).toMatchObject({ answer: 'recorded', timeUncertain: true });
    const at = answer !== undefined && 'at' in answer ? answer.at : 0;
    expect(at).toBeGreaterThanOrEqual(before);
    expect(at).toBeLessThanOrEqual(Date.now());
  });

  test('a container put into its own content is recorded: a line that came is a fact', async () => {
    const [outer, inner] = await Promise.all(
      ['Cart', 'Case'].map((name) => make('/api/items', { ...plainFacts, name, container: true })),
    );
    const phone = makePhone();
    const lines = [
      phone.move(T, String(inner), String(outer)),
      phone.move(T + 1, String(outer), String(inner)),
    ];
    expect((await send(service, lines, phone.clocks)).map(kindOf)).toEqual(['recorded', 'recorded']);
    const contents = await service.ask('GET', `/api/things?place=${outer}`);
    expect(contents.status).toBe(200);
  });

  test('a new device is met with its first line', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    await send(service, [phone.move(T, lamp, shore)], phone.clocks);
    const rows = await service.database.sql`select kind from device where id = ${phone.deviceId}`;
    expect(rows).toMatchObject([{ kind: 'phone' }]);
  });

  test('a line of a removed device waits for a person', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    await send(service, [phone.move(T, lamp, shore)], phone.clocks);
    await service.database.sql`update device set removed_at = ${T} where id = ${phone.deviceId}`;
    const [answer] = await send(service, [phone.move(T + 1, lamp, await makePlace())], phone.clocks);
    expect(answer).toMatchObject({ answer: 'waiting', waitsFor: 'review' });
    expect(await positionOf(lamp)).toBe(shore);
  });
});

describe('a line that names something not known yet waits for it', () => {
  async function isListed(id: string): Promise<boolean> {
    return (await service.ask('GET', '/api/movements/waiting')).text.includes(id);
  }

  test('for its thing, keeps the time it was given, and counts when the thing is entered', async () => {
    const [thingId, shore, phone] = [randomUUID(), await makePlace(), makePhone()];
    const line = phone.move(T, thingId, shore);
    const [answer] = await send(service, [line], phone.clocks);
    expect(answer).toMatchObject({ answer: 'waiting', waitsFor: 'thing', ref: thingId, at: T });
    expect(await isListed(line.id)).toBe(true);
    await put(`/api/things/${thingId}`, { ...plainFacts, kind: 'item' });
    expect(await isListed(line.id)).toBe(false);
    expect(await positionOf(thingId)).toBe(shore);
    expect(await send(service, [line], phone.clocks)).toEqual([
      { answer: 'already-known', id: line.id, at: T, timeUncertain: false },
    ]);
  });

  test('a repeat of a waiting line waits with it, at the same time', async () => {
    const phone = makePhone();
    const line = phone.move(T, randomUUID(), await makePlace());
    const first = await send(service, [line], phone.clocks);
    expect(await send(service, [line], [{ ...phone.clocks[0], offsetMs: 5_000 }])).toEqual(first);
  });

  test('for one thing after another: thing, place, stop', async () => {
    const [thingId, placeId, stopId, phone] = [randomUUID(), randomUUID(), randomUUID(), makePhone()];
    const line = phone.move(T, thingId, placeId, { stopId, round: 1 });
    const waitsFor = async () => {
      const [answer] = await send(service, [line], phone.clocks);
      return answer?.answer === 'waiting' ? [answer.waitsFor, answer.ref] : answer?.answer;
    };
    expect(await waitsFor()).toEqual(['thing', thingId]);
    await put(`/api/things/${thingId}`, { ...plainFacts, kind: 'item' });
    expect(await waitsFor()).toEqual(['place', placeId]);
    await put(`/api/places/${placeId}`, { ...PLACE, name: 'Hide' });
    expect(await waitsFor()).toEqual(['stop', stopId]);
    const place = { id: placeId, name: 'Hide', isNew: false };
    await put(`/api/stops/${stopId}`, { ...STOP, id: stopId, name: 'North hide', place });
    expect(await waitsFor()).toBe('already-known');
    expect(await positionOf(thingId)).toBe(placeId);
  });

  test('a void that comes before its target takes it back when it comes', async () => {
    const [lamp, shore, van, phone] = [await makeItem(), await makePlace(), await makePlace(), makePhone()];
    const there = phone.move(T, lamp, shore);
    const mistake = phone.move(T + 1_000, lamp, van);
    const [waiting] = await send(service, [phone.takeBack(T + 2_000, mistake)], phone.clocks);
    expect(waiting).toMatchObject({ answer: 'waiting', waitsFor: 'movement', ref: mistake.id });
    await send(service, [mistake, there], phone.clocks);
    expect(await positionOf(lamp)).toBe(shore);
  });

  test('a void in the same batch as its target, before or after it, needs no waiting', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const mistake = phone.move(T, lamp, shore);
    const answers = await send(service, [phone.takeBack(T + 1, mistake), mistake], phone.clocks);
    expect(answers.map(kindOf)).toEqual(['recorded', 'recorded']);
    expect(await positionOf(lamp)).toBe(null);
  });

  test('a void of a void is refused, whether the first is known or comes along; one scans again', async () => {
    const [lamp, shore, phone] = [await makeItem(), await makePlace(), makePhone()];
    const line = phone.move(T, lamp, shore);
    const back = phone.takeBack(T + 1, line);
    await send(service, [line, back], phone.clocks);
    expect((await send(service, [phone.takeBack(T + 2, back)], phone.clocks)).map(kindOf)).toEqual([
      'refused void-of-void',
    ]);
    expect(await positionOf(lamp)).toBe(null);
    await send(service, [phone.move(T + 3, lamp, shore)], phone.clocks);
    expect(await positionOf(lamp)).toBe(shore);
  });
});

describe('an unknown code', () => {
  test('is kept with no thing, and counts for the thing from its own time once the code is tied', async () => {
    const [lamp, shore, van, phone] = [await makeItem(), await makePlace(), await makePlace(), makePhone()];
    const code = `HIRE ${randomUUID().slice(0, 8)}`;
    const scan = phone.move(T, null, shore, { code });
    expect((await send(service, [scan], phone.clocks)).map(kindOf)).toEqual(['recorded']);
    expect(await positionOf(lamp)).toBe(null);
    const tied = await put(`/api/codes/${encodeURIComponent(code)}`, { thingId: lamp });
    expect([200, 201], tied.text).toContain(tied.status);
    expect(await positionOf(lamp)).toBe(shore);
    await send(service, [phone.move(T + 1_000, lamp, van)], phone.clocks);
    expect(await positionOf(lamp)).toBe(van);
    const history = await service.ask('GET', `/api/things/${lamp}/history`);
    expect(history.body.movements).toMatchObject([{ line: { toId: van } }, { line: { toId: shore, code } }]);
  });
});

describe('numbers', () => {
  test('come in and go out, may be negative, and begin anew at a hand count, whatever came first', async () => {
    const [clamps, van, shore, phone] = [
      await makeCounted(),
      await makePlace(),
      await makePlace(),
      makePhone(),
    ];
    const lines = [
      phone.quantity(T, clamps, 12, null, van),
      phone.quantity(T + 1, clamps, 5, van, shore),
      phone.handCount(T + 2, clamps, van, 6),
      phone.quantity(T + 3, clamps, 4, shore, van),
      phone.quantity(T + 4, clamps, 3, shore, null),
    ];
    for (const line of [...lines].reverse()) await send(service, [line], phone.clocks);
    expect(await levelsOf(clamps)).toEqual({ [van]: 10, [shore]: -2 });
  });

  test('a hand count that is taken back never was', async () => {
    const [clamps, van, phone] = [await makeCounted(), await makePlace(), makePhone()];
    const came = phone.quantity(T, clamps, 4, null, van);
    const wrong = phone.handCount(T + 1, clamps, van, 99);
    await send(service, [wrong, came], phone.clocks);
    expect(await levelsOf(clamps)).toEqual({ [van]: 99 });
    await send(service, [phone.takeBack(T + 2, wrong)], phone.clocks);
    expect(await levelsOf(clamps)).toEqual({ [van]: 4 });
  });
});

describe('reading the ledger', () => {
  test('lists latest first in pages that miss nothing and repeat nothing, by thing, place, stop and time', async () => {
    const [lamp, shore, van, phone] = [await makeItem(), await makePlace(), await makePlace(), makePhone()];
    const lines = Array.from({ length: 7 }, (_, n) =>
      phone.move(T + n * 10, lamp, n % 2 === 0 ? shore : van),
    );
    await send(service, lines, phone.clocks);
    const readAll = async (query: string) => {
      const ids: unknown[] = [];
      for (let after = ''; ; ) {
        const { body } = await service.ask('GET', `/api/movements?limit=3&${query}${after}`);
        if (Array.isArray(body.movements)) ids.push(...body.movements.map((row) => row.line.id));
        if (body.next === null) return ids;
        after = `&after=${body.next}`;
      }
    };
    const latestFirst = [...lines].reverse().map((line) => line.id);
    expect(await readAll(`thing=${lamp}`)).toEqual(latestFirst);
    expect(await readAll(`place=${van}`)).toEqual(latestFirst.filter((_, n) => n % 2 === 1));
    expect(await readAll(`thing=${lamp}&since=${T + 40}`)).toEqual(latestFirst.slice(0, 3));
    expect(await readAll(`stop=${randomUUID()}`)).toEqual([]);
    expect((await service.ask('GET', '/api/movements?after=nonsense')).status).toBe(400);
  });
});

/** What the ledger says, by other statements than the service's: whole sets, with window functions. */
async function compareCache({ sql }: TestDatabase) {
  const living = sql`(select m.* from movement m where not exists (select from movement v where v.voids = m.id))`;
  const positions = sql`(
    select thing_id, to_id as place_id, at, id as movement_id from (
      select *, row_number() over (partition by thing_id order by at desc, id desc) as place
      from ${living} l where kind = 'move' and thing_id is not null) ranked
    where place = 1)`;
  const levels = sql`(
    select thing_id, place_id, sum(number)::bigint as number from (
      select *, count(*) filter (where counted) over (partition by thing_id, place_id order by at, id) as counts,
        count(*) filter (where counted) over (partition by thing_id, place_id) as counts_in_all
      from (
        select thing_id, to_id as place_id, number, at, id, true as counted from ${living} l where kind = 'hand-count'
        union all
        select thing_id, to_id, number, at, id, false from ${living} l where kind = 'quantity' and to_id is not null
        union all
        select thing_id, from_id, -number, at, id, false from ${living} l where kind = 'quantity' and from_id is not null
      ) events) numbered
    where counts = counts_in_all group by thing_id, place_id having sum(number) <> 0)`;
  const kept = sql`(select thing_id, place_id, at, movement_id from position)`;
  const keptLevels = sql`(select thing_id, place_id, number from stock_level where number <> 0)`;
  return {
    positions: [...(await sql`(${positions} except ${kept}) union all (${kept} except ${positions})`)],
    levels: [...(await sql`(${levels} except ${keptLevels}) union all (${keptLevels} except ${levels})`)],
    waiting: [...(await sql`select id, waits_for, ref from movement_waiting`)],
  };
}
const NOTHING_WRONG = { positions: [], levels: [], waiting: [] };

describe('many writers at once', () => {
  interface Makings {
    readonly items: readonly string[];
    readonly counted: readonly string[];
    readonly places: readonly string[];
  }

  function makeLine(
    phone: Phone,
    before: readonly Line[],
    { items, counted, places }: Makings,
    dice: Dice,
  ): Line {
    const at = T + Math.floor(dice() * 1_000) * 100;
    const [item = '', gear = ''] = [pick(items, dice), pick(counted, dice)];
    const [from = '', to = ''] = [pick(places, dice), pick(places, dice)];
    const target = pick(
      before.filter((line) => line.kind !== 'void'),
      dice,
    );
    const kind = dice();
    if (kind < 0.2 && target !== undefined) return phone.takeBack(at, target);
    if (kind < 0.4)
      return phone.quantity(at, gear, 1 + Math.floor(dice() * 9), dice() < 0.2 ? null : from, to);
    if (kind < 0.5) return phone.handCount(at, gear, to, Math.floor(dice() * 20));
    return phone.move(at, item, to);
  }

  const shuffle = <T>(list: readonly T[], dice: Dice): T[] =>
    list
      .map((value) => [dice(), value] as const)
      .sort(([a], [b]) => a - b)
      .map(([, value]) => value);

  test('batches over the same things, with repeats and voids, by two processes: no error, the cache is the ledger', async () => {
    const dice = diceFrom(7);
    const one = await startService();
    const two = await startService({}, one.database);
    const makeOn = async (path: string, body: unknown) =>
      String((await one.ask('POST', path, { body })).body.id);
    const repeat = (n: number, run: (at: number) => Promise<string>) =>
      Promise.all(Array.from({ length: n }, (_, at) => run(at)));
    const makings = {
      items: await repeat(5, (n) => makeOn('/api/items', { ...plainFacts, name: `Lamp ${n}` })),
      counted: await repeat(3, (n) => makeOn('/api/counted-gear', { ...plainFacts, name: `Clamp ${n}` })),
      places: await repeat(4, (n) => makeOn('/api/places', { ...PLACE, name: `Place ${n}` })),
    };
    const phones = Array.from({ length: 6 }, makePhone);
    const lines: Line[] = [];
    for (let n = 0; n < 900; n += 1) lines.push(makeLine(phones[n % 6] ?? makePhone(), lines, makings, dice));

    // Each sender has most lines, in an order of its own, some twice: voids come before, with and after their targets.
    const send1 = async (at: Service, seed: number) => {
      const own = diceFrom(seed);
      const mine = shuffle([...lines.filter(() => own() < 0.7), ...lines.filter(() => own() < 0.2)], own);
      const answers: (string | undefined)[] = [];
      while (mine.length > 0) {
        const batch = mine.splice(0, 1 + Math.floor(own() * 40));
        answers.push(
          ...(
            await send(
              at,
              batch,
              phones.flatMap((phone) => phone.clocks),
            )
          ).map(kindOf),
        );
      }
      return answers;
    };
    const answers = (
      await Promise.all(Array.from({ length: 8 }, (_, n) => send1(n % 2 === 0 ? one : two, n + 1)))
    ).flat();
    const wrong = await compareCache(one.database);
    const [stored] = await one.database.sql<{ lines: number }[]>`select count(*)::int as lines from movement`;
    await Promise.all([one.close(), two.close()]);
    await one.database.close();

    expect(answers.filter((answer) => answer?.startsWith('refused'))).toEqual([]);
    expect(wrong).toEqual(NOTHING_WRONG);
    expect(stored?.lines).toBe(lines.length);
    expect(answers.filter((answer) => answer === 'recorded').length).toBeLessThanOrEqual(lines.length);
  });

  test('one line sent by many at the same moment is recorded once, and all are told the same time', async () => {
    const two = await startService({}, service.database);
    const [lamp, shore] = [await makeItem(), await makePlace()];
    for (let n = 0; n < 10; n += 1) {
      const phone = makePhone();
      const line = phone.move(T, lamp, shore);
      const answers = await Promise.all(
        Array.from({ length: 6 }, (_, at) =>
          send(at % 2 === 0 ? service : two, [line], [{ ...phone.clocks[0], offsetMs: at * 1_000 }]),
        ),
      );
      const [told] = [answers.flat()];
      expect(told.filter((answer) => answer.answer === 'recorded')).toHaveLength(1);
      expect(new Set(told.map((answer) => ('at' in answer ? answer.at : null))).size).toBe(1);
    }
    await two.close();
  });

  test('a line and the thing it names, sent at the same moment, find each other', async () => {
    const two = await startService({}, service.database);
    const shore = await makePlace();
    const things: string[] = [];
    for (let n = 0; n < 25; n += 1) {
      const [thingId, phone] = [randomUUID(), makePhone()];
      things.push(thingId);
      await Promise.all([
        send(service, [phone.move(T, thingId, shore)], phone.clocks),
        two.ask('PUT', `/api/things/${thingId}`, { body: { ...plainFacts, kind: 'item' } }),
      ]);
    }
    const rows = await service.database.sql`select from position where thing_id = any(${things}::uuid[])`;
    await two.close();
    expect(rows.count).toBe(things.length);
  });

  test('a scan of an unknown code and the tying of that code, at the same moment, find each other', async () => {
    const two = await startService({}, service.database);
    const shore = await makePlace();
    const lamps: string[] = [];
    for (let n = 0; n < 25; n += 1) {
      const [lamp, phone, code] = [await makeItem(), makePhone(), `HIRE ${randomUUID()}`];
      lamps.push(lamp);
      await Promise.all([
        send(service, [phone.move(T, null, shore, { code })], phone.clocks),
        two.ask('PUT', `/api/codes/${encodeURIComponent(code)}`, { body: { thingId: lamp } }),
      ]);
    }
    const rows = await service.database.sql`select from position where thing_id = any(${lamps}::uuid[])`;
    await two.close();
    expect(rows.count).toBe(lamps.length);
  });

  test('a line and its void, sent at the same moment by two phones, find each other', async () => {
    const two = await startService({}, service.database);
    const shore = await makePlace();
    const lamps: string[] = [];
    for (let n = 0; n < 25; n += 1) {
      const [lamp, phone, other] = [await makeItem(), makePhone(), makePhone()];
      lamps.push(lamp);
      const line = phone.move(T, lamp, shore);
      await Promise.all([
        send(service, [line], phone.clocks),
        send(two, [other.takeBack(T + 1, line)], other.clocks),
      ]);
    }
    const rows = await service.database.sql`select from position where thing_id = any(${lamps}::uuid[])`;
    await two.close();
    expect(rows.count).toBe(0);
  });

  test('a hundred phones with one line each share their way to the disk, and each gets its own answer', async () => {
    const [lamp, shore] = [await makeItem(), await makePlace()];
    const phones = Array.from({ length: 100 }, makePhone);
    const asked = phones.map((phone, n) =>
      n % 10 === 3 ? { id: `bad ${n}` } : phone.move(T + n, lamp, shore),
    );
    const answers = await Promise.all(asked.map((line, n) => send(service, [line], phones[n]?.clocks)));
    expect(answers.map(([answer]) => answer?.id)).toEqual(asked.map((line) => line.id));
    expect(answers.map(([answer]) => kindOf(answer))).toEqual(
      asked.map((line) => (line.id.startsWith('bad') ? 'refused malformed' : 'recorded')),
    );
  });
});

test('the cache of everything above is what the ledger says', async () => {
  const { positions, levels } = await compareCache(service.database);
  expect({ positions, levels }).toEqual({ positions: [], levels: [] });
});
