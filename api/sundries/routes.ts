// Sundries over HTTP.

import { z } from 'zod';
import { sundriesFactsSchema, sundriesSchema } from '#domain/worth.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { sundriesKind } from './keep-sundries.ts';
import { readSundries } from './store.ts';

export const sundriesRoutes = recordRoutes({
  path: '/api/sundries',
  one: 'lump of sundries',
  many: 'sundries',
  tag: 'Sundries',
  query: z.strictObject(pageQuery),
  body: sundriesFactsSchema,
  factsOf: (body) => body,
  record: sundriesSchema,
  kind: sundriesKind,
  listed: (tx) => ({ from: tx`sundries`, where: tx`true`, key: tx`description`, id: tx`id` }),
  readMany: readSundries,
});
