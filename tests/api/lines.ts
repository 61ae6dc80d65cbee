// A phone that writes lines of the ledger, for tests of what the service makes of them.
import { randomBytes, randomUUID } from 'node:crypto';
import { makeUuidV7 } from '#domain/ids.ts';
import { type LineAnswer, lineAnswerSchema } from '#domain/movement.ts';
import type { Service } from './app.ts';

export type Line = Record<string, unknown> & { readonly id: string };

export const newId = (at: number = Date.now()): string => makeUuidV7(at, randomBytes(16));

const CONTEXT = { stopId: null, round: null, note: null };
const EVIDENCE = { check: 'scanned', why: 'load-in', spot: null };

/** One installation with a clock that is right: its lines are numbered in the order in which they are made. */
export function makePhone() {
  const deviceId = randomUUID();
  const clockRun = randomUUID();
  let deviceNo = 0;
  const line = (deviceAt: number, facts: Record<string, unknown>): Line => {
    deviceNo += 1;
    return { id: newId(), deviceId, deviceNo, deviceAt, clockRun, personId: null, ...CONTEXT, ...facts };
  };
  return {
    deviceId,
    clocks: [{ clockRun, offsetMs: 0 }],
    line,
    move: (at: number, thingId: string | null, toId: string, more: Record<string, unknown> = {}) =>
      line(at, { kind: 'move', ...EVIDENCE, thingId, code: null, toId, sealUnbroken: false, ...more }),
    quantity: (at: number, thingId: string, number: number, fromId: string | null, toId: string | null) =>
      line(at, { kind: 'quantity', ...EVIDENCE, thingId, number, fromId, toId }),
    handCount: (at: number, thingId: string, toId: string, number: number) =>
      line(at, { kind: 'hand-count', thingId, toId, number, check: 'by-number' }),
    takeBack: (at: number, target: Line) =>
      line(at, { kind: 'void', voids: target.id, thingId: target.thingId ?? null }),
  };
}
export type Phone = ReturnType<typeof makePhone>;

/** Sends lines in one batch; one answer for each. Fails when the batch as a whole was not taken. */
export async function send(
  service: Pick<Service, 'ask'>,
  movements: readonly unknown[],
  clocks: readonly unknown[] = [],
): Promise<LineAnswer[]> {
  const reply = await service.ask('POST', '/api/movements', { body: { clocks, movements } });
  if (reply.status !== 200) throw new Error(`the batch was answered ${reply.status}: ${reply.text}`);
  return lineAnswerSchema.array().parse(reply.body.answers);
}
