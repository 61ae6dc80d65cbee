// "single movement": one line per request over HTTP, at 32 connections, against the barest handler.
import postgres from 'postgres';
import { alternate, printFigure } from './figure.ts';
import { enterGround, makeBodies } from './lines.ts';
import { postAll } from './load.ts';
import { type BenchServer, startProgram, startService } from './service.ts';

const CONNECTIONS = 32;
const REQUESTS = 6_000;
const ROUNDS = 5;
const THINGS = 2_000;

/** What the database promises when it says that a line is written. */
export async function readDurability(
  sql: postgres.Sql,
): Promise<{ fsync: string; synchronousCommit: string }> {
  const [row] = await sql<{ fsync: string; synchronousCommit: string }[]>`
    select current_setting('fsync') as fsync, current_setting('synchronous_commit') as "synchronousCommit"`;
  if (row === undefined) throw new Error('the database does not say how durable it is');
  return row;
}

export async function benchSingleMovement(server: BenchServer): Promise<void> {
  const [ourUrl, theirUrl] = [await server.makeDatabase(), await server.makeDatabase()];
  const sql = postgres(ourUrl, { onnotice: () => {} });
  const ground = await enterGround(sql, THINGS);
  const ours = await startService(ourUrl);
  const theirs = await startProgram('tests/bench/bare-handler.ts', { DATABASE_URL: theirUrl });
  try {
    const run = (url: string) => () =>
      postAll(`${url}/api/movements`, CONNECTIONS, makeBodies(ground, REQUESTS, 1, CONNECTIONS));
    await Promise.all([run(ours.url)(), run(theirs.url)()]);
    const rounds = await alternate(ROUNDS, run(ours.url), run(theirs.url));
    const [{ rows } = { rows: 0 }] = await sql<
      { rows: number }[]
    >`select count(*)::int as rows from movement`;
    printFigure({
      ...{ figure: 'single movement', value: Math.round(rounds.ours), unit: 'movements/s' },
      ...{ against: 'barest Express + zod handler, reference.sql', ratio: rounds.ratio },
      ...{
        opponent: Math.round(rounds.theirs),
        connections: CONNECTIONS,
        rows,
        ...(await readDurability(sql)),
      },
    });
  } finally {
    await Promise.all([ours.stop(), theirs.stop(), sql.end()]);
  }
}
