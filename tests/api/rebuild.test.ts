// The cache is made anew from the ledger: whatever was wrong in it is right again, and said to have been wrong.
import { afterAll, beforeAll, expect, test } from 'vitest';
import { rebuildCache } from '../../api/movements/rebuild-cache.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { makePhone, send } from './lines.ts';

let service: Service;
beforeAll(async () => {
  service = await startService();
});
afterAll(() => service.close());

const T = Date.UTC(2024, 4, 2, 8);
const make = async (path: string, body: unknown) =>
  String((await service.ask('POST', path, { body })).body.id);
const PLACE = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };

async function readCache() {
  const { sql } = service.database;
  return {
    positions: [...(await sql`select * from position order by thing_id`)],
    levels: [...(await sql`select * from stock_level where number <> 0 order by thing_id, place_id`)],
  };
}

test('a cache with rows that are wrong, missing and too many is made right; a right one is left alone', async () => {
  const { sql } = service.database;
  const [van, shore] = [
    await make('/api/places', { ...PLACE, name: 'Van' }),
    await make('/api/places', { ...PLACE, name: 'Shore' }),
  ];
  const lamps = await Promise.all(
    ['A', 'B', 'C', 'D'].map((name) => make('/api/items', { ...plainFacts, name })),
  );
  const [a = '', b = '', c = '', d = ''] = lamps;
  const clamps = await make('/api/counted-gear', { ...plainFacts, name: 'Clamp' });
  const phone = makePhone();
  const mistake = phone.move(T + 30, c, shore);
  const lines = [
    phone.move(T, a, van),
    phone.move(T + 10, b, van),
    phone.move(T + 20, c, van),
    mistake,
    phone.takeBack(T + 40, mistake),
    phone.quantity(T + 50, clamps, 9, null, van),
    phone.handCount(T + 60, clamps, van, 7),
    phone.quantity(T + 70, clamps, 2, van, shore),
  ];
  await send(service, lines, phone.clocks);
  const right = await readCache();
  expect(right.levels.map((row) => row.number).sort()).toEqual([2, 5]);
  expect(await rebuildCache(sql)).toMatchObject({ positions: 3, levels: 2, mended: 0 });

  await sql`update position set place_id = ${shore} where thing_id = ${a}`;
  await sql`delete from position where thing_id = ${b}`;
  await sql`insert into position select ${d}, place_id, at, movement_id from position where thing_id = ${c}`;
  await sql`update stock_level set number = 99 where thing_id = ${clamps} and place_id = ${van}`;
  const { mended } = await rebuildCache(sql);
  expect(mended).toBeGreaterThanOrEqual(4);
  expect(await readCache()).toEqual(right);
  expect((await rebuildCache(sql)).mended).toBe(0);
});
