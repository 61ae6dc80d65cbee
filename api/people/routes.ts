// People over HTTP.
import { z } from 'zod';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { keptPersonSchema, personFactsSchema, personKind, readPeoplePage } from './keep-person.ts';

export const personRoutes = recordRoutes({
  path: '/api/people',
  one: 'person',
  many: 'people',
  tag: 'People',
  query: z.strictObject(pageQuery),
  body: personFactsSchema,
  factsOf: (body) => body,
  record: keptPersonSchema,
  kind: personKind,
  readPage: readPeoplePage,
});
