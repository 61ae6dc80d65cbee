// The command `npm run rebuild`: makes the cache of positions and numbers anew from the ledger, and says what it found.
import { existsSync } from 'node:fs';
import { pino } from 'pino';
import { openConnections } from '../database/connections.ts';
import { takeLock } from '../database/lock.ts';
import { openDatabase } from '../database/open-database.ts';
import { readSettings, type Settings } from '../settings.ts';
import { rebuildCache } from './rebuild-cache.ts';

const log = pino({ name: 'tailcount', level: 'warn' }, pino.destination({ dest: 2, sync: true }));

async function rebuild({ databaseUrl, dataFolder }: Settings): Promise<string> {
  if (databaseUrl === undefined && !existsSync(dataFolder)) {
    throw new Error(`There is no data folder ${dataFolder} yet, so there is nothing to make anew.`);
  }
  const answer = databaseUrl === undefined ? await takeLock(dataFolder) : null;
  if (answer?.kind === 'taken') {
    throw new Error('Tailcount runs with this data folder. Stop it, run this again, and start it again.');
  }
  const database = await openDatabase(databaseUrl, dataFolder, log);
  const connections = openConnections(database.url, 2);
  try {
    const { positions, levels, mended } = await rebuildCache(connections.sql);
    const found =
      mended === 0 ? 'The cache was right' : `${mended} rows were not what the ledger says, and are now`;
    return `${found}: ${positions} positions and ${levels} numbers, each as the ledger has it.`;
  } finally {
    await connections.close();
    await database.stop();
    if (answer?.kind === 'held') await answer.lock.release();
  }
}

const settings = readSettings(process.argv.slice(2), process.env);
try {
  if (settings.kind === 'refused') throw new Error(settings.sentence);
  process.stdout.write(`${await rebuild(settings.settings)}\n`);
} catch (error) {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
}
