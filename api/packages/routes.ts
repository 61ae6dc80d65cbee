// Packages over HTTP.

import { z } from 'zod';
import { packageFactsSchema, packageSchema } from '#domain/package.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { packageKind } from './keep-package.ts';
import { readPackagePage } from './store.ts';

export const packageRoutes = recordRoutes({
  path: '/api/packages',
  one: 'package',
  many: 'packages',
  tag: 'Packages',
  query: z.strictObject(pageQuery),
  body: packageFactsSchema,
  factsOf: (body) => body,
  record: packageSchema,
  kind: packageKind,
  readPage: readPackagePage,
});
