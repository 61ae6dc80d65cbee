// "batch of movements": 500 lines per request over HTTP, against the one write path called directly through the driver;
// beside it, for comparison, the bare insertion of as many rows.
import { setTimeout as wait } from 'node:timers/promises';
import { batchSchema, movementSchema } from '#domain/movement.ts';
import { openConnections } from '../../api/database/connections.ts';
import { rowOf } from '../../api/movements/line-rows.ts';
import { recordLines } from '../../api/movements/record-lines.ts';
import { alternate, medianOf, printFigure } from './figure.ts';
import { enterGround, makeBodies } from './lines.ts';
import { postAll } from './load.ts';
import { type BenchServer, startService } from './service.ts';
import { readDurability } from './single-movement.ts';

const BATCH = 500;
const BATCHES = 30;
const CONNECTIONS = 4;
const ROUNDS = 5;
const THINGS = 20_000;

async function rateOf(lines: number, work: () => Promise<unknown>): Promise<number> {
  const startedAt = performance.now();
  await work();
  return lines / ((performance.now() - startedAt) / 1_000);
}

export async function benchBatchOfMovements(server: BenchServer): Promise<void> {
  const url = await server.makeDatabase();
  const connections = openConnections(url);
  const { sql } = connections;
  const ground = await enterGround(sql, THINGS);
  const service = await startService(url);
  const lines = BATCH * BATCHES;
  const bodies = () => makeBodies(ground, BATCHES, BATCH, CONNECTIONS);
  // The service takes one batch after the other in each process; so does the direct call.
  const direct = async () => {
    const batches = bodies().map((body) => batchSchema.parse(JSON.parse(body)));
    return rateOf(lines, async () => {
      for (const batch of batches) await recordLines(sql, { batch, receivedAt: Date.now() });
    });
  };
  const overHttp = async () => (await postAll(`${service.url}/api/movements`, CONNECTIONS, bodies())) * BATCH;
  const bare = async () => {
    const rows = bodies().map((body) =>
      batchSchema.parse(JSON.parse(body)).movements.map((line) =>
        rowOf({
          line: movementSchema.parse(line),
          at: Date.now(),
          timeUncertain: false,
          receivedAt: Date.now(),
          tiedTo: null,
        }),
      ),
    );
    return rateOf(lines, async () => {
      for (const batch of rows) {
        await sql`insert into bare select * from jsonb_populate_recordset(null::bare, ${sql.json(batch)})`;
      }
    });
  };
  try {
    await sql`create table bare (like movement including defaults)`;
    await overHttp();
    const rounds = await alternate(ROUNDS, overHttp, direct);
    const bareRates: number[] = [];
    for (let round = 0; round < ROUNDS; round += 1) bareRates.push(await bare());
    const [{ rows } = { rows: 0 }] = await sql<
      { rows: number }[]
    >`select count(*)::int as rows from movement`;
    printFigure({
      ...{ figure: 'batch of movements', value: Math.round(rounds.ours), unit: 'movements/s' },
      ...{ against: 'the one write path straight through the driver', ratio: rounds.ratio },
      ...{ opponent: Math.round(rounds.theirs), bareInsertSelect: Math.round(medianOf(bareRates)) },
      ...{ batch: BATCH, connections: CONNECTIONS, rows, ...(await readDurability(sql)) },
    });
  } finally {
    await service.stop();
    await wait(100);
    await connections.close();
  }
}
