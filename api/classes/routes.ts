// Classes over HTTP.

import { z } from 'zod';
import { classFactsSchema, classSchema } from '#domain/thing.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { classKind } from './keep-class.ts';
import { readClasses } from './store.ts';

export const classRoutes = recordRoutes({
  path: '/api/classes',
  one: 'class',
  many: 'classes',
  tag: 'Classes',
  query: z.strictObject(pageQuery),
  body: classFactsSchema,
  factsOf: (body) => body,
  record: classSchema,
  kind: classKind,
  listed: (tx) => ({ from: tx`class`, where: tx`true`, key: tx`name`, id: tx`id` }),
  readMany: readClasses,
});
