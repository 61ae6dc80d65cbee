// Places over HTTP: the record of places, and where everything is.

import { z } from 'zod';
import { placeIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { placeFactsSchema, placeKindSchema, placeSchema } from '#domain/place.ts';
import type { Route } from '../http/route.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { placeKind } from './keep-place.ts';
import { readPlacedPlace, readPlacedPlaces, wherePlaces } from './list-places.ts';
import { whereRoutes } from './where-routes.ts';

const placedSchema = placeSchema.extend({ insideId: placeIdSchema.nullable(), things: z.int() });
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
  ...whereRoutes,
];
