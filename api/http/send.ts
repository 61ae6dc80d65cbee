// Sends an answer or a refusal; nothing else writes to a response.
import compression from 'compression';
import type { Request, Response } from 'express';
import type { Refusal } from './problem.ts';
import { problemOf } from './problem.ts';
import type { Answer } from './route.ts';

const RETRY_AFTER_SECONDS = '2';

/** Shorter answers fit one packet anyway; packing them would only cost time. */
const PACK_FROM_CHARS = 1_024;
const pack = compression();

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
  res.status(answer.status).setHeader('cache-control', 'no-store');
  for (const [name, value] of Object.entries(answer.headers ?? {})) res.setHeader(name, value);
  if ('bytes' in answer) {
    res.type(answer.type).end(answer.bytes);
    return;
  }
  const text = JSON.stringify(answer.body) ?? '';
  res.setHeader('content-type', 'application/json; charset=utf-8');
  if (text.length < PACK_FROM_CHARS) res.end(text);
  else pack(req, res, () => res.end(text));
}
