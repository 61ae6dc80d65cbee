// Things over HTTP: all kinds under /api/things, each kind under its own address, by one implementation.

import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { cleanText } from '#domain/movement.ts';
import { type ThingKind, thingKindSchema, thingSchema, whoseSchema } from '#domain/thing.ts';
import type { Route } from '../http/route.ts';
import { inOrderOf, pageQuery } from '../record/page.ts';
import { recordRoutes } from '../record/record-routes.ts';
import { enteredAnyKindSchema, enteredFrom, enteredSchema } from './entered-thing.ts';
import { thingKind } from './keep-thing.ts';
import { whereThings } from './list-things.ts';
import { readThings } from './store.ts';

const yesOrNo = z.enum(['true', 'false']).transform((text) => text === 'true');

const filters = {
  ...pageQuery,
  class: plainIdSchema.optional(),
  whose: whoseSchema.optional(),
  place: placeIdSchema.optional(),
  text: cleanText(200).optional(),
  faulty: yesOrNo.optional(),
  writtenOff: yesOrNo.optional(),
  mergedInto: thingIdSchema.optional(),
  builtOn: thingIdSchema.optional(),
};
const query = z.strictObject(filters);
const queryAnyKind = z.strictObject({ ...filters, kind: thingKindSchema.optional() });

const shared = {
  tag: 'Things',
  record: thingSchema,
  readMany: async (tx: Parameters<typeof readThings>[0], ids: readonly string[]) =>
    inOrderOf(
      ids,
      await readThings(
        tx,
        ids.map((id) => thingIdSchema.parse(id)),
      ),
    ),
};

/** The routes of one kind: things of another kind are not there. */
function routesOfKind(kind: ThingKind, names: { path: string; one: string; many: string }): readonly Route[] {
  return recordRoutes({
    ...shared,
    ...names,
    query,
    body: enteredSchema,
    factsOf: (body, now) => enteredFrom(kind, body, now),
    kind: {
      ...thingKind,
      readOne: async (tx, id) => {
        const thing = await thingKind.readOne(tx, id);
        return thing?.kind === kind ? thing : null;
      },
    },
    listed: (tx, asked) => whereThings(tx, { ...asked, kind }),
  });
}

const anyKindRoutes = recordRoutes({
  ...shared,
  path: '/api/things',
  one: 'thing of any kind',
  many: 'things',
  query: queryAnyKind,
  body: enteredAnyKindSchema,
  factsOf: ({ kind, ...body }, now) => enteredFrom(kind, body, now),
  kind: thingKind,
  listed: (tx, asked) => whereThings(tx, asked),
});

export const thingRoutes: readonly Route[] = [
  ...anyKindRoutes,
  ...routesOfKind('item', { path: '/api/items', one: 'item', many: 'items' }),
  ...routesOfKind('counted', { path: '/api/counted-gear', one: 'kind of counted gear', many: 'countedGear' }),
  ...routesOfKind('consumable', { path: '/api/consumables', one: 'consumable', many: 'consumables' }),
];
