// Asks the service. What comes back is a value in every case: an answer, a refusal with its reason, or silence.
import { z } from 'zod';

const WAIT_MS_MAX = 20_000;

export type Reply =
  | { readonly kind: 'answer'; readonly body: unknown }
  | {
      readonly kind: 'refused';
      readonly status: number;
      readonly problem: string;
      readonly sentence: string;
    }
  /** Nobody answered, or the service asks to come back later (503, 429, any 5xx). */
  | { readonly kind: 'silence' };

export interface Question {
  readonly method?: 'GET' | 'POST' | 'PUT' | 'PATCH';
  readonly body?: unknown;
  readonly ifMatch?: number;
  /** Told how many bytes have come so far. */
  readonly onBytes?: (bytes: number) => void;
}

const problemSchema = z.looseObject({
  type: z.string().default(''),
  title: z.string().default(''),
  detail: z.string().optional(),
  errors: z.array(z.looseObject({ pointer: z.string(), detail: z.string() })).optional(),
});

const SILENT_STATUSES: readonly number[] = [408, 425, 429];

function parseText(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

async function readText(response: Response, onBytes: Question['onBytes']): Promise<string> {
  if (onBytes === undefined || response.body === null) return response.text();
  const decoder = new TextDecoder();
  const reader = response.body.getReader();
  let text = '';
  let bytes = 0;
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    bytes += part.value.byteLength;
    text += decoder.decode(part.value, { stream: true });
    onBytes(bytes);
  }
  return text + decoder.decode();
}

function refusalOf(status: number, body: unknown): Reply {
  const parsed = problemSchema.safeParse(body);
  if (!parsed.success)
    return { kind: 'refused', status, problem: '', sentence: `The service answered ${status}.` };
  const { type, title, detail, errors = [] } = parsed.data;
  const faults = errors.map((fault) => `${fault.pointer} ${fault.detail}`);
  const sentence = [detail ?? title, ...faults].join(' ');
  return { kind: 'refused', status, problem: type.replace('/problems/', ''), sentence };
}

/** Asks once. A question without bytes to watch is given up after 20 s; a long download only when it stands still. */
export async function ask(path: string, question: Question = {}): Promise<Reply> {
  const { method = 'GET', body, ifMatch, onBytes } = question;
  const stop = new AbortController();
  let timer = setTimeout(() => stop.abort(), WAIT_MS_MAX);
  const headers: Record<string, string> = { accept: 'application/json' };
  if (body !== undefined) headers['content-type'] = 'application/json';
  if (ifMatch !== undefined) headers['if-match'] = `"${ifMatch}"`;
  const sent = body === undefined ? {} : { body: JSON.stringify(body) };
  const watch = (bytes: number) => {
    clearTimeout(timer);
    timer = setTimeout(() => stop.abort(), WAIT_MS_MAX);
    onBytes?.(bytes);
  };
  try {
    const init = { method, headers, signal: stop.signal, cache: 'no-store' as const, ...sent };
    const response = await fetch(path, init);
    if (response.status >= 500 || SILENT_STATUSES.includes(response.status)) return { kind: 'silence' };
    const answer = parseText(await readText(response, onBytes && watch));
    if (!response.ok) return refusalOf(response.status, answer);
    return answer === undefined ? { kind: 'silence' } : { kind: 'answer', body: answer };
  } catch {
    return { kind: 'silence' };
  } finally {
    clearTimeout(timer);
  }
}
