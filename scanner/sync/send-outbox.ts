// Empties the outbox in batches, in the order in which the lines were written. A batch that is lost on its way is sent
// again as it is: the service knows its lines by their ids.
import { batchAnswerSchema, type LineAnswer } from '#domain/movement.ts';
import type { Database } from '../store/database.ts';
import { keepAnswers, type Settled } from '../store/keep-catalogue.ts';
import type { Phone } from '../store/phone.ts';
import { type WaitingLine, waitingLineSchema } from '../store/rows.ts';
import { installationFrom } from '../store/write-down.ts';
import { ask } from './ask.ts';
import type { Sent } from './send-stops.ts';

export const BATCH_MAX = 500;
const STATUSES_ABOUT_LINES: readonly number[] = [400, 413, 422];

async function readBatch(database: Database): Promise<readonly WaitingLine[]> {
  const values = await database.getAll('outbox', null, BATCH_MAX);
  return values.flatMap((value) => {
    const row = waitingLineSchema.safeParse(value);
    return row.success ? [row.data] : [];
  });
}

/** Pairs each line with its answer by id, or by its place in the batch. Null when the answers do not fit the batch. */
export function pairAnswers(
  rows: readonly WaitingLine[],
  answers: readonly LineAnswer[],
): readonly Settled[] | null {
  const byId = new Map(answers.map((answer) => [answer.id, answer]));
  const settled = rows.flatMap((row, index) => {
    const answer =
      byId.get(row.line.id) ?? answers.find((known) => known.answer === 'refused' && known.index === index);
    return answer === undefined ? [] : [{ row, answer }];
  });
  return settled.length === rows.length ? settled : null;
}

type Outcome = { readonly settled: readonly Settled[] } | 'silence' | 'too-much';

async function sendBatch(rows: readonly WaitingLine[], clocks: unknown): Promise<Outcome> {
  const body = { clocks, movements: rows.map((row) => row.line) };
  const reply = await ask('/api/movements', { method: 'POST', body });
  if (reply.kind === 'silence') return 'silence';
  if (reply.kind === 'answer') {
    const answers = batchAnswerSchema.safeParse(reply.body);
    const settled = answers.success ? pairAnswers(rows, answers.data.answers) : null;
    return settled === null ? 'silence' : { settled };
  }
  // Anything else is about who asks and not about the lines, and must never cost a line.
  if (!STATUSES_ABOUT_LINES.includes(reply.status)) return 'silence';
  const [only] = rows;
  if (rows.length > 1 || only === undefined) return 'too-much';
  const refused = { answer: 'refused', id: only.line.id, index: 0, kind: 'malformed', fields: [] } as const;
  return { settled: [{ row: only, answer: { ...refused, detail: reply.sentence, fields: [] } }] };
}

/** Sends until nothing waits. A batch that is refused as a whole is cut in halves, down to the line that is at fault. */
export async function sendOutbox(phone: Phone): Promise<Sent> {
  const { database } = phone;
  let size = BATCH_MAX;
  for (;;) {
    const rows = (await readBatch(database)).slice(0, size);
    if (rows.length === 0) return 'sent';
    const { clocks } = installationFrom(await database.get('head', 'installation'));
    const outcome = await sendBatch(rows, clocks);
    if (outcome === 'silence') return 'silence';
    if (outcome === 'too-much') {
      size = Math.max(1, Math.floor(rows.length / 2));
      continue;
    }
    const kept = await keepAnswers(database, outcome.settled, Date.now());
    await phone.takeAnswers(new Set(outcome.settled.map(({ row }) => row.deviceNo)), kept);
    size = BATCH_MAX;
  }
}
