// A transaction whose connection is gone: what it still asks is refused, and the process lives (law 11).
import { setTimeout as wait } from 'node:timers/promises';
import { expect, onTestFinished, test } from 'vitest';
import { isDatabaseAway } from '../../api/database/state.ts';
import { openTestDatabase } from '../database.ts';

// Longer than a closed socket stays with the driver in some rounds, shorter in others.
const PAUSES_MS = [0, 1, 20, 100];

test('everything a transaction asks after its connection was ended is refused as a database that is away', async () => {
  const database = await openTestDatabase();
  onTestFinished(() => database.close());
  for (const pauseMs of PAUSES_MS) {
    const refusals: unknown[] = [];
    const ended = database.sql.begin(async (tx) => {
      const [own] = await tx<{ pid: number }[]>`select pg_backend_pid() as pid`;
      const asking = Array.from({ length: 3 }, () =>
        tx`select pg_sleep(5)`.catch((error) => refusals.push(error)),
      );
      await database.sql`select pg_terminate_backend(${own?.pid ?? 0})`;
      await Promise.all(asking);
      await wait(pauseMs);
      for (let n = 0; n < 3; n += 1) await tx`select 1`.catch((error) => refusals.push(error));
      await tx`select ${1}::int`.catch((error) => refusals.push(error));
    });
    await expect(ended).rejects.toSatisfy(isDatabaseAway);
    await wait(pauseMs + 100);
    expect(refusals).toHaveLength(7);
    expect(refusals.filter((error) => !isDatabaseAway(error))).toEqual([]);
    expect([...(await database.sql`select 1 as one`)]).toEqual([{ one: 1 }]);
  }
});

test('the pool is whole again after every one of its connections was ended', async () => {
  const database = await openTestDatabase();
  onTestFinished(() => database.close());
  const { sql, prisma } = database;
  await Promise.all(Array.from({ length: 30 }, () => sql`select pg_sleep(0.01)`));
  await prisma.$executeRaw`
    select pg_terminate_backend(pid) from pg_stat_activity
    where datname = current_database() and pid <> pg_backend_pid()`;
  await wait(600);
  const answers = await Promise.all(Array.from({ length: 30 }, (_, n) => sql`select ${n}::int as n`));
  expect(answers.map(([row]) => row?.n)).toEqual(Array.from({ length: 30 }, (_, n) => n));
});
