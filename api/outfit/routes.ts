// The outfit over HTTP: whose service this is.
import { outfitFactsSchema, outfitSchema } from '#domain/place.ts';
import { etagOf } from '../http/etag.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { answerKept } from '../record/record-routes.ts';
import { keepOutfit } from './keep-outfit.ts';
import { readOutfit } from './store.ts';

const path = '/api/outfit';
const tag = 'Outfit';

const read = defineRoute({
  method: 'get',
  path,
  summary: 'The one business that this service belongs to',
  tag,
  answers: { 200: outfitSchema },
  refusals: ['no-outfit'],
  handle: async (_given, { connections: { sql } }) => {
    const outfit = await readOutfit(sql);
    if (outfit === null) return { refusal: { kind: 'no-outfit' } };
    return { status: 200, body: outfit, headers: { ETag: etagOf(outfit.version) } };
  },
});

const keep = defineRoute({
  method: 'put',
  path,
  summary: 'Names the outfit on an empty database; later, with If-Match, edits it',
  tag,
  body: outfitFactsSchema,
  answers: { 200: outfitSchema, 201: outfitSchema },
  refusals: ['contradiction', 'no-outfit', 'if-match-missing', 'version-moved'],
  handle: async ({ body, ifMatch }, { connections: { sql } }) =>
    answerKept(await keepOutfit(sql, body, ifMatch === 0 ? null : ifMatch), path),
});

export const outfitRoutes: readonly Route[] = [read, keep];
