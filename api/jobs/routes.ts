// Jobs over HTTP.

import { z } from 'zod';
import { jobFactsSchema, jobSchema } from '#domain/place.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { jobKind } from './keep-job.ts';
import { readJobs } from './store.ts';

export const jobRoutes = recordRoutes({
  path: '/api/jobs',
  one: 'job',
  many: 'jobs',
  tag: 'Jobs and stops',
  query: z.strictObject(pageQuery),
  body: jobFactsSchema,
  factsOf: (body) => body,
  record: jobSchema,
  kind: jobKind,
  // The latest to begin first; jobs without a date come last.
  listed: (tx) => ({
    from: tx`job`,
    where: tx`true`,
    key: tx`coalesce(to_char(starts_on, 'YYYY-MM-DD'), '')`,
    id: tx`id`,
    descending: true,
  }),
  readMany: readJobs,
});
