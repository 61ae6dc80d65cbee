// Last night's file is restored; phones notice, and bring back what they still have.
import { join } from 'node:path';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { openBackup } from '../../api/backup/read-file.ts';
import { restoreInto } from '../../api/backup/restore.ts';
import { writeBackup } from '../../api/backup/write-file.ts';
import { openConnections } from '../../api/database/connections.ts';
import { type Service, startService } from './app.ts';
import { makeEmptyDatabase, makeFolder, makeOutfit } from './backup-making.ts';
import { makePhone, send } from './lines.ts';

let service: Service;
beforeAll(async () => {
  service = await startService();
});
afterAll(() => service.close());

const feedOf = (at: Service, { no, token }: { no: number; token: string }) =>
  at.ask('GET', `/api/feed?no=${no}&token=${token}`);
const cursorOf = async (at: Service): Promise<{ no: number; token: string }> =>
  JSON.parse((await at.ask('GET', '/api/catalogue')).text).cursor;

/** A second service on the database that was restored from the file. */
async function startRestored(path: string): Promise<Service> {
  const url = await makeEmptyDatabase();
  const backup = await openBackup(path);
  await restoreInto(url, backup);
  backup.close();
  const restored = await startService({}, { ...openConnections(url), url });
  onTestFinished(() => restored.close());
  return restored;
}

async function readLedger(at: Service): Promise<readonly string[]> {
  const rows = await at.database.sql<{ line: string }[]>`
    select id || ' ' || at || ' ' || body::text as line from movement order by id`;
  return rows.map(({ line }) => line);
}

test('backed up, scanned on, restored, scanned elsewhere: no line is missing, and none is there twice', async () => {
  const { phone, lamp, lens, van, shore } = await makeOutfit(service);
  const path = join(makeFolder(), 'night.zip');
  const atNight = await cursorOf(service);
  await writeBackup(service.database.sql, path, { at: Date.now() });
  const kept = await readLedger(service);
  const now = Date.now();
  const lost = Array.from({ length: 100 }, (_, n) =>
    phone.move(now + n, n % 2 ? lamp : lens, n % 3 ? van : shore),
  );
  await send(service, lost, phone.clocks);
  const afterwards = await cursorOf(service);
  const everything = await readLedger(service);

  const restored = await startRestored(path);
  expect(await readLedger(restored)).toEqual(kept);
  // Both cursors are of the database that is gone: the one from before the file was written, too.
  for (const cursor of [afterwards, atNight]) {
    const reply = await feedOf(restored, cursor);
    expect([reply.status, reply.body.type]).toEqual([410, '/problems/cursor-unknown']);
  }
  const fresh = await cursorOf(restored);
  expect(fresh.token).not.toBe('');
  expect((await feedOf(restored, fresh)).status).toBe(200);

  const other = await makeOtherPhone(restored, lamp, lens, van, shore);
  const sent = [...(await send(restored, lost, phone.clocks)), ...(await send(restored, lost, phone.clocks))];
  expect(sent.map(({ answer }) => answer)).toEqual([
    ...lost.map(() => 'recorded'),
    ...lost.map(() => 'already-known'),
  ]);
  const ids = (lines: readonly string[]) => lines.map((line) => line.split(' ')[0]).sort();
  expect(ids(await readLedger(restored))).toEqual([...ids(everything), ...other].sort());
});

async function makeOtherPhone(at: Service, lamp: string, lens: string, van: string, shore: string) {
  const phone = makePhone();
  const lines = Array.from({ length: 50 }, (_, n) =>
    phone.move(Date.now() - n, n % 2 ? lens : lamp, n % 2 ? van : shore),
  );
  await send(at, lines, phone.clocks);
  return lines.map(({ id }) => id);
}

test('a phone that read an empty feed is sent back to the catalogue after a restore, too', async () => {
  const path = join(makeFolder(), 'night.zip');
  await writeBackup(service.database.sql, path, { at: Date.now() });
  const once = await startRestored(path);
  const before = await cursorOf(once);
  const twice = await startRestored(path);
  expect((await feedOf(twice, before)).status).toBe(410);
});
