// What the tests of backups stand on: an outfit with awkward facts in every table, an empty database to restore into,
// and every row of a database as text.
import { randomBytes, randomUUID } from 'node:crypto';
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import type postgres from 'postgres';
import { inject, onTestFinished } from 'vitest';
import { urlOfTestDatabase } from '../database.ts';
import type { Service } from './app.ts';
import { plainFacts } from './facts.ts';
import { makePhone, send } from './lines.ts';

const PLACE = { kind: 'store', parentId: null, sort: 0, zone: null, address: null, note: null };
/** Everything that a list of commas could trip over: in one line, as a person may enter it, and in several. */
const AWKWARD_NAME = 'Reed "bed", 1\\2; ñandú — трос 湿地 {a,b} \\N \\.';
export const AWKWARD = `${AWKWARD_NAME}\r\n\t"\n\\.\n`;
export const T = Date.UTC(2024, 4, 2, 8);
// The first bytes of each form. Sources: ITU-T T.81 annex B; W3C PNG 5.2.
export const JPEG = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), randomBytes(20_000)]);
export const PNG = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 255, 10, 13]);

/** A folder that is there for one test. */
export function makeFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'tailcount-backup-'));
  chmodSync(folder, 0o755);
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

async function onServer(statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: inject('databaseServer') });
  await client.connect();
  try {
    await client.query(statement);
  } finally {
    await client.end();
  }
}

/** The address of a new database with nothing in it, not even a schema; dropped when the test ends. */
export async function makeEmptyDatabase(): Promise<string> {
  const name = `${inject('databaseTemplate')}_r${randomBytes(5).toString('hex')}`;
  await onServer(`CREATE DATABASE "${name}" TEMPLATE template0 ENCODING 'UTF8'`);
  onTestFinished(() => onServer(`DROP DATABASE IF EXISTS "${name}" WITH (FORCE)`));
  return urlOfTestDatabase(name);
}

async function tell(service: Service, method: string, path: string, body: unknown): Promise<string> {
  const reply = await service.ask(method, path, { body });
  if (reply.status >= 300) throw new Error(`${path} was answered ${reply.status}: ${reply.text}`);
  return String(reply.body.id);
}
const make = (service: Service, path: string, body: unknown) => tell(service, 'POST', path, body);

/** An outfit with something in every table that a person or a phone fills. */
export async function makeOutfit(service: Service) {
  const { sql } = service.database;
  const phone = makePhone();
  await tell(service, 'PUT', '/api/outfit', {
    ...{ name: 'Reed & Mud Films', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric' },
    ...{ yearEnd: '12-31', mainsVolts: 230, dayTurnsMinutes: 300, lastLook: ['sockets', AWKWARD_NAME] },
  });
  const van = await make(service, '/api/places', { ...PLACE, name: 'Van' });
  const shore = await make(service, '/api/places', { ...PLACE, name: AWKWARD_NAME });
  const lamp = await make(service, '/api/items', { ...plainFacts, name: AWKWARD_NAME });
  const lens = await make(service, '/api/items', { ...plainFacts, name: 'Long lens', note: '\\.' });
  const clamps = await make(service, '/api/counted-gear', { ...plainFacts, name: 'Clamp' });
  const picture = randomUUID();
  await tell(service, 'PUT', `/api/pictures/${picture}?thing=${lamp}&takenAt=${T}`, JPEG);
  await tell(service, 'PUT', `/api/pictures/${randomUUID()}?place=${van}`, PNG);
  await tell(service, 'POST', '/api/tags', { blockId: randomUUID(), number: 12 });
  await sql`update thing set serial = '', note = ${AWKWARD}, weight_grams = 0, watt_hours = 98.10 where id = ${lamp}`;
  await sql`insert into class (id, name, needs) values (gen_random_uuid(), 'Light', ${['a charger', AWKWARD]})`;
  await sql`insert into write_off (id, thing_id, on_date, reason, note) values (gen_random_uuid(), ${lens}, '2024-02-29', 'lost', ${AWKWARD})`;
  await sql`insert into code (id, code, kind, thing_id, since) values (gen_random_uuid(), 'X"1', 'foreign', ${lens}, ${T})`;
  await sql`insert into home (thing_id, way, place_id) values (${lamp}, 'driving', ${van})`;
  const mistake = phone.move(T + 30, lens, shore, { note: AWKWARD_NAME });
  const lines = [
    ...[phone.move(T, lamp, van), phone.move(T + 20, lens, van), mistake, phone.takeBack(T + 40, mistake)],
    ...[phone.quantity(T + 50, clamps, 9, null, van), phone.handCount(T + 60, clamps, van, 7)],
    ...[phone.quantity(T + 70, clamps, 2, van, shore), phone.move(T + 80, randomUUID(), van)],
  ];
  await send(service, lines, phone.clocks);
  return { phone, lines, lamp, lens, clamps, van, shore, picture };
}

/** Every row of every table but those named, as text, in one order for all databases. */
export async function readRows(
  sql: postgres.Sql,
  leftOut: readonly string[],
): Promise<Readonly<Record<string, readonly string[]>>> {
  const tables = await sql<{ name: string }[]>`
    select table_name::text as name from information_schema.tables
    where table_schema = 'public' and table_type = 'BASE TABLE' order by 1`;
  const all: Record<string, readonly string[]> = {};
  for (const { name } of tables.filter((table) => !leftOut.includes(table.name))) {
    const rows = await sql.unsafe<{ row: string }[]>(`select to_jsonb(t)::text as row from "${name}" t`);
    all[name] = rows.map(({ row }) => row).sort();
  }
  return all;
}
