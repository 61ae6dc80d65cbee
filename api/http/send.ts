// Sends an answer or a refusal; nothing else writes to a response.
import type { Request, Response } from 'express';
import type { Refusal } from './problem.ts';
import { problemOf } from './problem.ts';
import type { Answer } from './route.ts';

const RETRY_AFTER_SECONDS = '2';

/** A refusal as an RFC 9457 problem. */
export function sendRefusal(res: Response, refusal: Refusal): void {
  const problem = problemOf(refusal);
  if (refusal.kind === 'method-not-allowed') res.set('allow', refusal.allow.join(', ').toUpperCase());
  if (refusal.kind === 'database-down') res.set('retry-after', RETRY_AFTER_SECONDS);
  if (refusal.kind === 'version-moved') res.set('etag', `"${refusal.current}"`);
  res.status(problem.status).type('application/problem+json').send(JSON.stringify(problem));
}

export async function sendAnswer(req: Request, res: Response, answer: Answer): Promise<void> {
  if ('refusal' in answer) return sendRefusal(res, answer.refusal);
  if ('stream' in answer) return answer.stream(req, res);
  res.set({ 'cache-control': 'no-store', ...answer.headers }).status(answer.status);
  if ('bytes' in answer) {
    res.type(answer.type).end(answer.bytes);
    return;
  }
  res.json(answer.body);
}
