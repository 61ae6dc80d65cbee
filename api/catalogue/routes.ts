// The catalogue over HTTP.
import { catalogueSchema } from '#domain/feed.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { readCatalogue } from './read-catalogue.ts';

const read = defineRoute({
  method: 'get',
  path: '/api/catalogue',
  summary: 'Everything a device needs to work by itself, and the cursor from which its feed begins.',
  tag: 'Feed',
  answers: { 200: catalogueSchema },
  refusals: ['no-outfit'],
  handle: async (_given, { connections, clock }) => {
    const catalogue = await readCatalogue(connections.sql, clock());
    return catalogue === null ? { refusal: { kind: 'no-outfit' } } : { status: 200, body: catalogue };
  },
});

export const catalogueRoutes: readonly Route[] = [read];
