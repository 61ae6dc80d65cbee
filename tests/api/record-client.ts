// What the tests of the record ask of the service again and again.
import { randomUUID } from 'node:crypto';
import { expect } from 'vitest';
import { type Reply, startService } from './app.ts';
import { plainFacts } from './facts.ts';

type Ask = (method: string, path: string, body?: unknown, headers?: Record<string, string>) => Promise<Reply>;

/** The morning on which these tests happen; the service takes it for now. */
const NOW = Date.UTC(2026, 10, 25, 6);

export async function startRecord() {
  const service = await startService({ clock: () => NOW });
  const ask: Ask = (method, path, body, headers = {}) => service.ask(method, path, { body, headers });
  return { ask, sql: service.database.sql, port: service.port, close: service.close };
}
export type RecordService = Awaited<ReturnType<typeof startRecord>>;

export const ifMatch = (version: unknown) => ({ 'if-match': `"${String(version)}"` });

/** A new place that stands still; its id. */
export async function makePlace(
  service: RecordService,
  facts: Record<string, unknown> = {},
): Promise<string> {
  const whole = {
    kind: 'store',
    name: 'Boathouse',
    parentId: null,
    sort: 0,
    zone: null,
    address: null,
    note: null,
  };
  const reply = await service.ask('POST', '/api/places', { ...whole, ...facts });
  expect(reply.status, JSON.stringify(reply.body)).toBe(201);
  return String(reply.body.id);
}

/** A new item; its id. */
export async function makeItem(service: RecordService, facts: Record<string, unknown> = {}): Promise<string> {
  const reply = await service.ask('POST', '/api/items', { ...plainFacts, ...facts });
  expect(reply.status, JSON.stringify(reply.body)).toBe(201);
  return String(reply.body.id);
}

/** A line of the ledger that names a place, written as the write path would store it. */
export async function writeMove(
  service: RecordService,
  thingId: string,
  toId: string,
  at: number,
): Promise<void> {
  const id = `019ab000-0000-7000-8000-${randomUUID().slice(24)}`;
  const row = { id, kind: 'move', thing_id: thingId, to_id: toId, at, device_id: randomUUID(), device_no: 1 };
  await service.sql`
    insert into movement ${service.sql({ ...row, received_at: at, body: service.sql.json({}) })}`;
  await service.sql`
    insert into position ${service.sql({ thing_id: thingId, place_id: toId, at, movement_id: id })}
    on conflict (thing_id) do update set place_id = excluded.place_id, at = excluded.at`;
}

/** The problem's kind and the fields it names. */
export function faultOf(reply: Reply) {
  const errors = Array.isArray(reply.body.errors) ? reply.body.errors : [];
  return {
    status: reply.status,
    type: reply.body.type,
    pointers: errors.map((error: { pointer: string }) => error.pointer),
  };
}

/** What was noted for the feed of this record. */
export async function changesOf(service: RecordService, ref: string): Promise<string[]> {
  const rows = await service.sql<{ kind: string }[]>`
    select kind from change_waiting where ref = ${ref} union all select kind from change where ref = ${ref}`;
  return rows.map((row) => row.kind);
}
