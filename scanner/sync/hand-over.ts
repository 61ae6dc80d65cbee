// Hands what is in the drawer over to the service, where the owner sees it at the desk. It stays in the drawer until a
// person empties that: the service only keeps a copy.
import { leftoverIdOf } from '#domain/leftover-id.ts';
import { type Database, STRICT } from '../store/database.ts';
import { type DrawerRow, drawerRowSchema } from '../store/rows.ts';
import { installationFrom } from '../store/write-down.ts';
import { ask } from './ask.ts';

const WHY_MAX = 4_000;

// Anything else is about who asks, or an older service, and is tried again.
const STATUSES_ABOUT_TEXT: readonly number[] = [400, 409, 413, 422];

/** Text that the service can keep: not too long, no NUL, and no half of a surrogate pair. */
const cleaned = (text: string) =>
  text
    .slice(0, WHY_MAX)
    .replaceAll('\u0000', '\uFFFD')
    .replace(/\p{Surrogate}/gu, '\uFFFD');

async function keepHanded(database: Database, row: DrawerRow, handed: 'yes' | 'refused'): Promise<void> {
  const tx = database.transaction('drawer', 'readwrite', STRICT);
  // Emptied meanwhile, it shall not come back.
  if ((await tx.store.getKey(row.key)) !== undefined) await tx.store.put({ ...row, handed }, row.key);
  await tx.done;
}

async function handOne(database: Database, row: DrawerRow, deviceId: string): Promise<boolean> {
  const { key, what, why, at, body } = row;
  const text = JSON.stringify(body) ?? '';
  const facts = { deviceId, what, why: cleaned(why), at: Math.max(0, at), text };
  const reply = await ask(`/api/leftovers/${leftoverIdOf(deviceId, key, text)}`, {
    method: 'PUT',
    body: facts,
  });
  if (reply.kind === 'silence') return false;
  if (reply.kind === 'refused' && !STATUSES_ABOUT_TEXT.includes(reply.status)) return false;
  await keepHanded(database, row, reply.kind === 'answer' ? 'yes' : 'refused');
  return true;
}

/** Hands over each row once; stops at the first silence and goes on in a later round. */
export async function handOverDrawer(database: Database): Promise<void> {
  const { deviceId } = installationFrom(await database.get('head', 'installation'));
  for (const value of await database.getAll('drawer')) {
    const row = drawerRowSchema.safeParse(value);
    if (!row.success || row.data.handed !== undefined) continue;
    if (!(await handOne(database, row.data, deviceId))) return;
  }
}
