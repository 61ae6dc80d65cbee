// Reads a body: JSON in strict UTF-8, or the bytes as they come.
import express, { type Request, type RequestHandler, type Response } from 'express';
import type { Refusal } from './problem.ts';
import type { Route } from './route.ts';

const JSON_BYTES_MAX = 16_000_000;

const readers = new Map<number, RequestHandler>();

function readerOf(limit: number): RequestHandler {
  const known = readers.get(limit);
  if (known) return known;
  const made = express.raw({ type: () => true, limit });
  readers.set(limit, made);
  return made;
}

function readBytes(req: Request, res: Response, limit: number): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    readerOf(limit)(req, res, (error?: unknown) => {
      if (error !== undefined) reject(error);
      else resolve(req.body instanceof Uint8Array ? req.body : new Uint8Array());
    });
  });
}

function statusOf(error: unknown): number {
  return typeof error === 'object' && error !== null && 'status' in error && typeof error.status === 'number'
    ? error.status
    : 0;
}

type Body = { readonly body: unknown } | { readonly refusal: Refusal };

const strictUtf8 = new TextDecoder('utf-8', { fatal: true });

function parseJson(bytes: Uint8Array): Body {
  try {
    return { body: JSON.parse(strictUtf8.decode(bytes)) };
  } catch (error) {
    const detail = error instanceof Error ? error.message : 'it is no JSON';
    return { refusal: { kind: 'unreadable-body', detail } };
  }
}

/** The body a route wants, or why it cannot be had. A route without a body leaves what was sent unread. */
export async function readBody(req: Request, res: Response, route: Route): Promise<Body> {
  if (route.body === undefined) return { body: undefined };
  const limit = route.bytesMax ?? JSON_BYTES_MAX;
  const type = (req.headers['content-type'] ?? '').toLowerCase();
  if (route.bytesMax === undefined && !/^application\/json\s*(;\s*charset="?utf-8"?)?\s*$/.test(type)) {
    return { refusal: { kind: 'unsupported-type', expected: 'application/json' } };
  }
  try {
    const bytes = await readBytes(req, res, limit);
    return route.bytesMax === undefined ? parseJson(bytes) : { body: bytes };
  } catch (error) {
    const status = statusOf(error);
    if (status === 413) return { refusal: { kind: 'body-too-large', bytesMax: limit } };
    if (status >= 400 && status < 500) return { refusal: { kind: 'not-acceptable-request', status } };
    throw error;
  }
}
