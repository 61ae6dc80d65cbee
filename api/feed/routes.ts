// The feed over HTTP: pages from a cursor, and a stream that says when there is another page.
import type { Request, Response } from 'express';
import type postgres from 'postgres';
import { z } from 'zod';
import { feedPageSchema } from '#domain/feed.ts';
import { type Deps, defineRoute, type Route } from '../http/route.ts';
import { type Live, makeLive } from './live.ts';
import { numberChanges } from './number-changes.ts';
import { FEED_PAGE_MAX, readFeed } from './read-feed.ts';

const page = defineRoute({
  method: 'get',
  path: '/api/feed',
  summary: 'What changed since a cursor. Begin with the cursor of a catalogue, or with 0 and no token.',
  tag: 'Feed',
  query: z.strictObject({
    no: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER),
    token: z.string().max(60).default(''),
    limit: z.coerce.number().int().min(1).max(FEED_PAGE_MAX).default(500),
  }),
  answers: { 200: feedPageSchema },
  refusals: ['cursor-unknown'],
  handle: async ({ query: { no, token, limit } }, { connections: { sql } }) => {
    await numberChanges(sql);
    const read = await readFeed(sql, { no, token }, limit);
    return read === null ? { refusal: { kind: 'cursor-unknown' } } : { status: 200, body: read };
  },
});

const lives = new WeakMap<postgres.Sql, Live>();

function liveOf({ connections: { sql }, log }: Deps): Live {
  const known = lives.get(sql);
  if (known) return known;
  const made = makeLive(sql, (error) => log.warn({ err: error }, 'the feed could not be read just now'));
  lives.set(sql, made);
  return made;
}

function streamTo(deps: Deps) {
  return async (req: Request, res: Response): Promise<void> => {
    // Not to be packed on the way, which would hold an event back until there are more.
    res.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store, no-transform' });
    let told = -1;
    const tell = async () => {
      const [row] = await deps.connections.sql<
        { no: number }[]
      >`select coalesce(max(no), 0) as no from change`;
      if (row === undefined || row.no === told || res.writableEnded) return;
      told = row.no;
      res.write(`event: change\ndata: ${told}\n\n`);
    };
    const wake = () =>
      void tell().catch((error: unknown) => deps.log.debug({ err: error }, 'a stream waits'));
    const stop = liveOf(deps).listen(wake);
    req.once('close', () => {
      stop();
      res.end();
    });
    wake();
  };
}

const stream = defineRoute({
  method: 'get',
  path: '/api/feed/stream',
  summary:
    'A stream of server-sent events: "change" with the highest number, whenever there is a higher one.',
  tag: 'Feed',
  media: ['text/event-stream'],
  answers: {},
  handle: async (_given, deps) => ({ stream: streamTo(deps) }),
});

export const feedRoutes: readonly Route[] = [page, stream];
