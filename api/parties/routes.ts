// Parties over HTTP.

import { z } from 'zod';
import { partyFactsSchema, partySchema } from '#domain/party.ts';
import { pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { partyKind } from './keep-party.ts';
import { readParties } from './store.ts';

export const partyRoutes = recordRoutes({
  path: '/api/parties',
  one: 'party',
  many: 'parties',
  tag: 'Parties',
  query: z.strictObject(pageQuery),
  body: partyFactsSchema,
  factsOf: (body) => body,
  record: partySchema,
  kind: partyKind,
  listed: (tx) => ({ from: tx`place`, where: tx`kind = 'party'`, key: tx`name`, id: tx`id` }),
  readMany: readParties,
});
