// Where everything is, over HTTP: the tree with its numbers, and the lists of one place by windows.
import { z } from 'zod';
import { placeIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import {
  contentPageSchema,
  homePageSchema,
  placeSumsSchema,
  placeTreeSchema,
  reachSchema,
} from '#domain/where.ts';
import { PAGE_MAX } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { countContents, listContents } from './list-contents.ts';
import { countHomes, listHomes } from './list-homes.ts';
import { readPlacedPlace } from './list-places.ts';
import { readOpenMatters } from './open-matters.ts';
import { readTree } from './read-tree.ts';

const SKIP_MAX = 10_000_000;
const LIMIT_USUAL = 100;

const tag = 'Places';
const params = z.strictObject({ id: placeIdSchema });
const windowQuery = {
  skip: z.coerce.number().int().min(0).max(SKIP_MAX).default(0),
  limit: z.coerce.number().int().min(1).max(PAGE_MAX).default(LIMIT_USUAL),
  reach: reachSchema.default('here'),
  text: cleanText(200).optional(),
};

const tree = defineRoute({
  method: 'get',
  path: '/api/where',
  summary:
    'All places with what each is inside of now, and the numbers, value and open matters of all that is in it',
  tag,
  answers: { 200: placeTreeSchema },
  handle: async (_given, { connections: { sql }, clock }) => ({
    status: 200,
    body: { places: await readTree(sql, clock()) },
  }),
});

const contents = defineRoute({
  method: 'get',
  path: '/api/places/{id}/contents',
  summary: 'What lies in this place now, by name: a window of the list, and how many lines it has',
  tag,
  params,
  query: z.strictObject({ ...windowQuery, only: z.enum(['open', 'stray']).optional() }),
  answers: { 200: contentPageSchema },
  refusals: ['not-found'],
  handle: async ({ params: { id }, query }, { connections: { sql }, clock }) => {
    if ((await readPlacedPlace(sql, id)) === null) return { refusal: { kind: 'not-found' } };
    return { status: 200, body: await listContents(sql, { ...query, placeId: id }, clock()) };
  },
});

const homes = defineRoute({
  method: 'get',
  path: '/api/places/{id}/homes',
  summary: 'What lives in this place, how much of it is there, and where the rest is: a window of the list',
  tag,
  params,
  query: z.strictObject({ ...windowQuery, only: z.literal('missing').optional() }),
  answers: { 200: homePageSchema },
  refusals: ['not-found'],
  handle: async ({ params: { id }, query }, { connections: { sql }, clock }) => {
    if ((await readPlacedPlace(sql, id)) === null) return { refusal: { kind: 'not-found' } };
    const matters = await readOpenMatters(sql, clock());
    return { status: 200, body: await listHomes(sql, { ...query, placeId: id }, matters) };
  },
});

const sums = defineRoute({
  method: 'get',
  path: '/api/places/{id}/sums',
  summary: 'How many lines each of the place’s lists has',
  tag,
  params,
  query: z.strictObject({ reach: windowQuery.reach }),
  answers: { 200: placeSumsSchema },
  refusals: ['not-found'],
  handle: async ({ params: { id }, query: { reach } }, { connections: { sql }, clock }) => {
    if ((await readPlacedPlace(sql, id)) === null) return { refusal: { kind: 'not-found' } };
    const matters = await readOpenMatters(sql, clock());
    const asked = { placeId: id, reach };
    const [held, living] = await Promise.all([countContents(sql, asked, matters), countHomes(sql, asked)]);
    return { status: 200, body: { ...held, ...living } };
  },
});

export const whereRoutes: readonly Route[] = [tree, contents, homes, sums];
