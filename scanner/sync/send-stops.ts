// Sends the stops that were made or named on this phone. They go before the lines that name them.
import { type Stop, stopSchema } from '#domain/place.ts';
import { type Database, STRICT } from '../store/database.ts';
import { type WaitingStop, waitingStopSchema } from '../store/rows.ts';
import { ask, type Reply } from './ask.ts';

export type Sent = 'sent' | 'silence';

async function toDrawer(database: Database, row: WaitingStop, why: string): Promise<void> {
  const tx = database.transaction(['outboxStop', 'drawer'], 'readwrite', STRICT);
  void tx.objectStore('outboxStop').delete(row.id);
  void tx.objectStore('drawer').put({ key: row.id, what: 'stop', why, at: Date.now(), body: row }, row.id);
  await tx.done;
}

/** Keeps the service's record of it. What was said of the stop meanwhile (a name) stays waiting. */
async function settle(database: Database, row: WaitingStop, stop: Stop): Promise<void> {
  const tx = database.transaction(['outboxStop', 'stop'], 'readwrite', STRICT);
  const now = waitingStopSchema.safeParse(await tx.objectStore('outboxStop').get(row.id));
  const name = now.success ? now.data.name : null;
  void tx.objectStore('stop').put(stop, stop.id);
  if (name === null || name === stop.name) void tx.objectStore('outboxStop').delete(row.id);
  else void tx.objectStore('outboxStop').put({ ...row, make: null, name }, row.id);
  await tx.done;
}

function readStop(reply: Reply): Stop | null {
  const parsed = reply.kind === 'answer' ? stopSchema.safeParse(reply.body) : null;
  return parsed?.success ? parsed.data : null;
}

/** A name that somebody else gave meanwhile is read first, and then ours is put in its place once more. */
async function sendName(database: Database, row: WaitingStop): Promise<Sent> {
  const current = await ask(`/api/stops/${row.id}`);
  const stop = readStop(current);
  if (stop === null) {
    if (current.kind === 'silence') return 'silence';
    await toDrawer(
      database,
      row,
      current.kind === 'refused' ? current.sentence : 'The answer was not readable.',
    );
    return 'sent';
  }
  const body = { name: row.name };
  const reply = await ask(`/api/stops/${row.id}`, { method: 'PATCH', body, ifMatch: stop.version });
  const named = readStop(reply);
  if (named !== null) await settle(database, row, named);
  else if (reply.kind === 'refused' && reply.status !== 412) await toDrawer(database, row, reply.sentence);
  return reply.kind === 'silence' ? 'silence' : 'sent';
}

async function sendOne(database: Database, row: WaitingStop): Promise<Sent> {
  if (row.make === null) return sendName(database, row);
  const reply = await ask(`/api/stops/${row.id}`, { method: 'PUT', body: row.make });
  const made = readStop(reply);
  if (made !== null) {
    await settle(database, row, made);
    return row.name === null || row.name === made.name ? 'sent' : sendName(database, { ...row, make: null });
  }
  if (reply.kind !== 'refused') return 'silence';
  await toDrawer(database, row, reply.sentence);
  return 'sent';
}

/** Sends all of them, the oldest first; stops at the first silence. */
export async function sendStops(database: Database): Promise<Sent> {
  const rows = (await database.getAll('outboxStop')).flatMap((value) => {
    const row = waitingStopSchema.safeParse(value);
    return row.success ? [row.data] : [];
  });
  for (const row of rows.sort((a, b) => a.madeAt - b.madeAt)) {
    if ((await sendOne(database, row)) === 'silence') return 'silence';
  }
  return 'sent';
}
