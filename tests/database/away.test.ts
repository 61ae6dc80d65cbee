import { afterAll, expect, test } from 'vitest';
import { openConnections } from '../../api/database/connections.ts';
import { findFreePort } from '../../api/database/server.ts';
import { isDatabaseAway } from '../../api/database/state.ts';
import { openTestDatabase } from '../database.ts';

const database = await openTestDatabase();
afterAll(() => database.close());

// What a promise was refused with; an answer is a fault of the test.
async function catchError(promise: PromiseLike<unknown>): Promise<unknown> {
  return Promise.resolve(promise).then(
    (answer) => expect.fail(`answered ${JSON.stringify(answer)}`),
    (error: unknown) => error,
  );
}

test('a server that is not there is known as away, whichever way it is asked', async () => {
  const nobody = openConnections(`postgres://a:b@127.0.0.1:${await findFreePort()}/c`);
  for (const asking of [
    nobody.sql`SELECT 1`,
    nobody.prisma.outfit.count(),
    nobody.prisma.$queryRaw`SELECT 1`,
  ]) {
    expect(isDatabaseAway(await catchError(asking))).toBe(true);
  }
  await nobody.close();
});

test('a connection that the server ends in the middle of a question is known as away', async () => {
  const asking = [
    () => database.sql`SELECT pg_terminate_backend(pg_backend_pid())`,
    () => database.prisma.$queryRaw`SELECT pg_terminate_backend(pg_backend_pid())`,
    () => database.prisma.$transaction((tx) => tx.$queryRaw`SELECT pg_terminate_backend(pg_backend_pid())`),
  ];
  for (const ask of asking) expect(isDatabaseAway(await catchError(ask()))).toBe(true);
});

test('what the database refuses by itself is no absence', async () => {
  const bad = { name: 'Reed and Mud Films', currency: 'euro', zone: 'UTC' };
  const errors = [
    await catchError(database.sql`SELECT 1 / 0`),
    await catchError(database.prisma.outfit.create({ data: bad })),
    new Error('something else'),
    'no error at all',
  ];
  expect(errors.map(isDatabaseAway)).toEqual([false, false, false, false]);
});
