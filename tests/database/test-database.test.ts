import { afterAll, expect, test } from 'vitest';
import { openTestDatabase } from '../database.ts';

const database = await openTestDatabase();
afterAll(() => database.close());

test('the driver and Prisma see the same new database, with every migration in it', async () => {
  const [row] =
    await database.sql`SELECT count(*) AS number FROM _prisma_migrations WHERE finished_at IS NOT NULL`;
  expect(row?.number).toBeGreaterThan(0);
  await database.prisma.outfit.create({
    data: { name: 'Reed and Mud Films', currency: 'EUR', zone: 'Europe/Lisbon' },
  });
  expect([...(await database.sql`SELECT name, day_turns_minutes FROM outfit`)]).toEqual([
    { name: 'Reed and Mud Films', day_turns_minutes: 300 },
  ]);
});

test('milliseconds come as a number and a calendar date as its text, also inside an array', async () => {
  const [row] = await database.sql`
    SELECT 1767225600000::int8 AS at, ARRAY[1, 2]::int8[] AS numbers, '2026-03-04'::date AS "onDate"`;
  expect(row).toEqual({ at: 1_767_225_600_000, numbers: [1, 2], onDate: '2026-03-04' });
});

test('a whole number beyond what a JavaScript number can hold is refused, not rounded', async () => {
  await expect(database.sql`SELECT 9007199254740993::int8 AS number`).rejects.toThrow('safe whole number');
});
