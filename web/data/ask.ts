// One way to ask the service: every answer is parsed, every refusal comes back as a value with its sentence.
import { z } from 'zod';

const problemSchema = z.looseObject({
  type: z.string(),
  title: z.string(),
  status: z.number(),
  detail: z.string().optional(),
  errors: z
    .array(z.looseObject({ pointer: z.string().optional(), detail: z.string().optional() }))
    .optional(),
});

/** Why the service said no, in words for a person; `status` 0 when it did not answer at all. */
export interface Refused {
  readonly ok: false;
  readonly status: number;
  readonly kind: string;
  readonly sentence: string;
}
export interface Answered<T> {
  readonly ok: true;
  readonly body: T;
  readonly version: string | null;
}
export type Asked<T> = Answered<T> | Refused;

export interface Question {
  readonly method?: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';
  readonly body?: unknown;
  readonly bytes?: Blob;
  readonly ifMatch?: string;
  readonly signal?: AbortSignal;
}

/** Where in the request a fault is, as a person would say it: "/purchaseCurrency" is the purchase currency. */
function wordsOf(pointer: string): string {
  const steps = pointer.split('/').filter((step) => step !== '' && !/^\d+$/.test(step));
  return steps
    .join(' ')
    .replace(/([a-z])([A-Z])/g, (_all, before, after) => `${before} ${after.toLowerCase()}`);
}

export async function readRefusal(response: Response): Promise<Refused> {
  const problem = problemSchema.safeParse(await response.json().catch(() => null));
  if (!problem.success) {
    return {
      ok: false,
      status: response.status,
      kind: 'unreadable',
      sentence: `The service answered ${response.status} and gave no reason.`,
    };
  }
  const fields = (problem.data.errors ?? []).map((error) =>
    [wordsOf(error.pointer ?? ''), error.detail].filter(Boolean).join(': '),
  );
  const sentence = [problem.data.detail ?? problem.data.title, ...fields].join(' ');
  return { ok: false, status: response.status, kind: problem.data.type.replace('/problems/', ''), sentence };
}

function requestOf(question: Question): RequestInit {
  const headers: Record<string, string> = { accept: 'application/json' };
  if (question.body !== undefined) headers['content-type'] = 'application/json';
  if (question.bytes !== undefined) headers['content-type'] = 'application/octet-stream';
  if (question.ifMatch !== undefined) headers['if-match'] = question.ifMatch;
  const body = question.bytes ?? (question.body === undefined ? null : JSON.stringify(question.body));
  return {
    method: question.method ?? 'GET',
    headers,
    body,
    ...(question.signal ? { signal: question.signal } : {}),
  };
}

/** Asks and parses. A body that is not what the contract says is a bug of ours and throws. */
export async function ask<S extends z.ZodType>(
  path: string,
  schema: S,
  question: Question = {},
): Promise<Asked<z.infer<S>>> {
  let response: Response;
  try {
    response = await fetch(path, requestOf(question));
  } catch (error) {
    if (question.signal?.aborted) throw error;
    return {
      ok: false,
      status: 0,
      kind: 'no-answer',
      sentence: 'The service does not answer. Is it still running on this machine?',
    };
  }
  if (!response.ok) return readRefusal(response);
  const body: unknown = response.status === 204 ? null : await response.json();
  return { ok: true, body: schema.parse(body), version: response.headers.get('etag') };
}
