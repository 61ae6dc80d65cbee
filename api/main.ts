// The start: settings, database, migrations, front ends, listen. Nothing else.
import { mkdirSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import { styleText } from 'node:util';
import { pino } from 'pino';
import { buildApp } from './app.ts';
import { startDailyBackups } from './backup/daily.ts';
import { prepareRestore } from './backup/start-restore.ts';
import { openConnections } from './database/connections.ts';
import { takeLock } from './database/lock.ts';
import { openDatabase } from './database/open-database.ts';
import { buildWhatIsMissing, STATIC_FOLDERS } from './front-ends.ts';
import { listenOnKeptPort } from './port.ts';
import { readSettings, type Settings } from './settings.ts';
import { type Ending, prepareEnding } from './shutdown.ts';
import { startDemo } from './start-demo.ts';

const CLOSE_MS_MAX = 3_000;
const LOOPBACK: ReadonlySet<string> = new Set(['127.0.0.1', '::1', 'localhost']);
const EVERYWHERE: ReadonlySet<string> = new Set(['0.0.0.0', '::']);

process.env.NODE_ENV ??= 'production';
const log = pino({ name: 'tailcount', level: 'warn' }, pino.destination({ dest: 2, sync: true }));

function say(line: string): void {
  process.stdout.write(`${line}\n`);
}

function emphasise(text: string): string {
  return process.stdout.isTTY && !process.env.NO_COLOR ? styleText('bold', text) : text;
}

function addressOf(host: string, port: number): string {
  const shown = EVERYWHERE.has(host) ? '127.0.0.1' : host;
  return `http://${shown.includes(':') ? `[${shown}]` : shown}:${port}`;
}

async function closeServer(server: Server): Promise<void> {
  const closed = new Promise((resolve) => server.close(resolve));
  server.closeIdleConnections();
  setTimeout(() => server.closeAllConnections(), CLOSE_MS_MAX).unref();
  if (server.listening) await closed;
}

async function start(settings: Settings, { atEnd, endWith }: Ending): Promise<void> {
  const { dataFolder, host } = settings;
  mkdirSync(dataFolder, { recursive: true });
  const answer = await takeLock(dataFolder);
  if (answer.kind === 'taken') {
    const where = answer.address === '' ? 'is just being started' : `already runs, at ${answer.address}`;
    return endWith(`Tailcount ${where} (data folder ${dataFolder}). This second start ends here.`);
  }
  const prepare = await prepareRestore(settings.restore, dataFolder, say);
  const opening = openDatabase(settings.databaseUrl, dataFolder, log, prepare);
  atEnd(async () => (await opening.catch(() => undefined))?.stop());
  const [database] = await Promise.all([opening, buildWhatIsMissing(say)]);
  if (database.elsewhere !== undefined) {
    say(`The database's own account cannot enter ${dataFolder}, so its files are in ${database.elsewhere}.`);
  }
  const connections = openConnections(database.url);
  atEnd(connections.close);
  if (settings.demo) await startDemo(connections, Date.now());

  const app = buildApp({
    connections,
    clock: Date.now,
    log,
    databaseState: database.state,
    staticFolders: STATIC_FOLDERS,
    ownNames: [host],
  });
  const server = createServer(app);
  const port = await listenOnKeptPort(server, host, dataFolder, settings.port);
  atEnd(() => closeServer(server));
  atEnd(startDailyBackups({ connections, clock: Date.now, log }));
  const address = addressOf(host, port);
  answer.lock.sayAddress(address);
  say(`Desk        ${emphasise(`${address}/`)}`);
  say(`Phone page  ${emphasise(`${address}/scan/`)}`);
  if (!LOOPBACK.has(host))
    say('Everybody who can reach this address can do everything. Let only your own network in.');
}

const ending = prepareEnding();
const answer = readSettings(process.argv.slice(2), process.env);
if (answer.kind === 'refused') await ending.endWith(answer.sentence);
else await start(answer.settings, ending).catch(ending.endWith);
