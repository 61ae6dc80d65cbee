// "backup" and "restore": everything of 100,000 things and 1,000,000 movements into one file and back, against a bare COPY of
// the same tables out of the database and into one.
import { createReadStream, createWriteStream, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { Writable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type postgres from 'postgres';
import { readKeptTables } from '../../api/backup/kept-tables.ts';
import { openBackup } from '../../api/backup/read-file.ts';
import { restoreInto } from '../../api/backup/restore.ts';
import { writeBackup } from '../../api/backup/write-file.ts';
import { openConnections } from '../../api/database/connections.ts';
import { alternate, printFigure } from './figure.ts';
import { enterGround } from './lines.ts';
import { type BenchServer, makeFolder } from './service.ts';
import { readDurability } from './single-movement.ts';

const THINGS = 100_000;
const MOVEMENTS = 1_000_000;
const ROUNDS = 3;

/** Moves as phones write them, made by the database: they are what the bench stands on. */
async function enterMoves(sql: postgres.Sql): Promise<void> {
  await sql`insert into outfit (name, currency, zone) values ('Reed and Mud Films', 'EUR', 'UTC')`;
  await enterGround(sql, THINGS);
  await sql.unsafe(`
    with things as (select id, row_number() over () as n from thing), places as (select id, row_number() over () as n from place),
      device as (select gen_random_uuid() as id, gen_random_uuid() as run),
      lines as (
        select ('019a0000-' || lpad(to_hex(g / 65536), 4, '0') || '-7' || lpad(to_hex(g % 4096), 3, '0') || '-a' || substr(gen_random_uuid()::text, 21))::uuid as id,
          t.id as thing, p.id as place, 1767225600000 + g * 60000::bigint as at, g, d.id as device, d.run
        from generate_series(1, ${MOVEMENTS}) g join things t on t.n = g % ${THINGS} + 1 join places p on p.n = g % 20 + 1 cross join device d)
    insert into movement (id, kind, thing_id, to_id, at, device_id, device_no, received_at, body)
    select id, 'move', thing, place, at, device, g, at, jsonb_build_object('kind', 'move', 'id', id, 'deviceId', device, 'deviceNo', g,
      'deviceAt', at, 'clockRun', run, 'personId', null, 'stopId', null, 'round', null, 'note', null, 'check', 'scanned', 'why', 'load-in',
      'spot', null, 'thingId', thing, 'toId', place, 'code', null, 'sealUnbroken', false) from lines`);
  await sql`insert into position (thing_id, place_id, at, movement_id)
    select distinct on (thing_id) thing_id, to_id, at, id from movement order by thing_id, at desc, id desc`;
  await sql`analyze`;
}

async function secondsOf(work: () => Promise<unknown>): Promise<number> {
  const startedAt = performance.now();
  await work();
  return (performance.now() - startedAt) / 1_000;
}

const csvOf = (folder: string, table: string): string => join(folder, `${table}.csv`);

/** Each table as CSV, to files or to nowhere. */
async function copyAllOut(sql: postgres.Sql, folder: string | null): Promise<void> {
  for (const { name } of await readKeptTables(sql)) {
    const rows = await sql.unsafe(`copy "${name}" to stdout with (format csv)`).readable();
    const nowhere = new Writable({ write: (_piece, _encoding, done) => done() });
    rows.once('end', () => rows._read(0));
    await pipeline(rows, folder === null ? nowhere : createWriteStream(csvOf(folder, name)));
  }
}

/** Into migrated tables with their indexes; keys and triggers are not looked at, because the order of tables does not respect them. */
async function copyAllIn(url: string, folder: string): Promise<void> {
  const { sql, close } = openConnections(url, 1);
  await sql`set session_replication_role = replica`;
  for (const { name } of await readKeptTables(sql)) {
    const into = await sql.unsafe(`copy "${name}" from stdin with (format csv)`).writable();
    await pipeline(createReadStream(csvOf(folder, name)), into);
  }
  await close();
}

interface Stand {
  readonly sql: postgres.Sql;
  readonly folder: string;
  readonly file: string;
}

async function withOutfit(server: BenchServer, work: (stand: Stand) => Promise<void>): Promise<void> {
  const folder = makeFolder();
  const { sql, close } = openConnections(await server.makeDatabase(), 2);
  try {
    await enterMoves(sql);
    await work({ sql, folder, file: join(folder, 'backup.zip') });
  } finally {
    await close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function measureRestore(server: BenchServer, { sql, folder, file }: Stand): Promise<void> {
  await writeBackup(sql, file, { at: Date.now() });
  await copyAllOut(sql, folder);
  const restore = async () => {
    const url = await server.makeDatabase();
    return secondsOf(async () => {
      const backup = await openBackup(file);
      await restoreInto(url, backup);
      backup.close();
    });
  };
  const bare = async () => {
    const url = await server.makeDatabase();
    return secondsOf(() => copyAllIn(url, folder));
  };
  const rounds = await alternate(ROUNDS, restore, bare);
  printFigure({
    ...{ figure: 'restore', value: Number(rounds.ours.toFixed(1)), unit: 's', ratio: rounds.ratio },
    against: 'a bare COPY of the same rows into the migrated tables with their indexes, keys unchecked',
    ...{ opponent: Number(rounds.theirs.toFixed(1)), things: THINGS, movements: MOVEMENTS },
  });
}

async function measureBackup({ sql, file }: Stand): Promise<void> {
  const write = async () => {
    rmSync(file, { force: true });
    return secondsOf(() => writeBackup(sql, file, { at: Date.now() }));
  };
  const rounds = await alternate(ROUNDS, write, () => secondsOf(() => copyAllOut(sql, null)));
  printFigure({
    ...{ figure: 'backup', value: Number(rounds.ours.toFixed(1)), unit: 's', ratio: rounds.ratio },
    against: 'a bare COPY of the same tables out of the database, thrown away',
    ...{ opponent: Number(rounds.theirs.toFixed(1)), megabytes: Math.round(statSync(file).size / 1e6) },
    ...{ things: THINGS, movements: MOVEMENTS, ...(await readDurability(sql)) },
  });
}

export function benchBackup(server: BenchServer): Promise<void> {
  return withOutfit(server, measureBackup);
}

export function benchRestore(server: BenchServer): Promise<void> {
  return withOutfit(server, (stand) => measureRestore(server, stand));
}
