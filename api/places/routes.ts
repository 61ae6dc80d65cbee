// Places over HTTP: where everything is, as a tree, and what is in each.

import { z } from 'zod';
import { placeIdSchema, thingIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { placeFactsSchema, placeKindSchema, placeSchema } from '#domain/place.ts';
import { thingKindSchema } from '#domain/thing.ts';
import { cursorOf, pageSchemaOf } from '../http/paging.ts';
import { defineRoute, type Route } from '../http/route.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { placeKind } from './keep-place.ts';
import { listContents, readPlacedPlace, readPlacedPlaces, wherePlaces } from './list-places.ts';

const placedSchema = placeSchema.extend({ insideId: placeIdSchema.nullable(), things: z.int() });
const contentSchema = z.strictObject({
  id: thingIdSchema,
  kind: thingKindSchema,
  name: z.string(),
  number: z.int(),
  at: z.int().nullable(),
  isPlace: z.boolean(),
});

const contents = defineRoute({
  method: 'get',
  path: '/api/places/{id}/contents',
  summary: 'What was put down right in this place, with numbers, page by page',
  tag: 'Places',
  params: z.strictObject({ id: placeIdSchema }),
  query: z.strictObject(pageQuery),
  answers: { 200: pageSchemaOf('contents', contentSchema) },
  refusals: ['not-found'],
  handle: async ({ params: { id }, query }, { connections: { sql } }) => {
    if ((await readPlacedPlace(sql, id)) === null) return { refusal: { kind: 'not-found' } };
    const { lines, next } = await listContents(sql, id, { after: query.after ?? null, limit: query.limit });
    return { status: 200, body: { contents: lines, next: cursorOf(next) } };
  },
});

export const placeRoutes: readonly Route[] = [
  ...recordRoutes({
    path: '/api/places',
    one: 'place',
    many: 'places',
    tag: 'Places',
    query: z.strictObject({
      ...pageQuery,
      kind: placeKindSchema.optional(),
      parent: placeIdSchema.optional(),
      text: cleanText(200).optional(),
    }),
    body: placeFactsSchema,
    factsOf: (body) => body,
    record: placedSchema,
    kind: { ...placeKind, readOne: readPlacedPlace },
    listed: wherePlaces,
    readMany: (tx, ids) =>
      readPlacedPlaces(
        tx,
        ids.map((id) => placeIdSchema.parse(id)),
      ),
  }),
  contents,
];
