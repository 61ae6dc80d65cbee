// Pictures over HTTP: bytes there and back. A picture never changes, so whoever has it keeps it.

import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { bytesSchema, defineRoute, type Route } from '../http/route.ts';
import {
  keepPicture,
  PICTURE_BYTES_MAX,
  readPicture,
  readPicturesOf,
  removePicture,
} from './keep-picture.ts';

const path = '/api/pictures/{id}';
const tag = 'Pictures';
const params = z.strictObject({ id: plainIdSchema });
const INSTANT_MAX = 8_640_000_000_000_000;
const keptSchema = z.strictObject({ id: plainIdSchema });

const listed = z.strictObject({ id: plainIdSchema, takenAt: z.int(), hash: z.string() });

const list = defineRoute({
  method: 'get',
  path: '/api/things/{id}/pictures',
  summary: 'The pictures of a thing, the latest first, each with the SHA-256 of its bytes',
  tag,
  params: z.strictObject({ id: thingIdSchema }),
  answers: { 200: z.strictObject({ pictures: z.array(listed) }) },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql } }) => {
    const pictures = await readPicturesOf(sql, id);
    return pictures === null ? { refusal: { kind: 'not-found' } } : { status: 200, body: { pictures } };
  },
});

const read = defineRoute({
  method: 'get',
  path,
  summary: 'The picture’s bytes',
  tag,
  params,
  media: ['image/jpeg', 'image/png', 'image/webp'],
  answers: {},
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { prisma } }) => {
    const picture = await readPicture(prisma, id);
    if (picture === null) return { refusal: { kind: 'not-found' } };
    const headers = { 'cache-control': 'private, max-age=31536000, immutable', etag: `"${id}"` };
    return { status: 200, bytes: picture.bytes, type: picture.mime, headers };
  },
});

const keep = defineRoute({
  method: 'put',
  path,
  summary: 'Keeps a picture (JPEG, PNG or WebP, up to 8 MB) of one thing or one place under an id of yours',
  tag,
  params,
  query: z.strictObject({
    thing: thingIdSchema.optional(),
    place: placeIdSchema.optional(),
    /** When it was taken, UTC ms; now where nobody says. */
    takenAt: z.coerce.number().int().min(0).max(INSTANT_MAX).optional(),
  }),
  body: bytesSchema,
  bytesMax: PICTURE_BYTES_MAX,
  answers: { 200: keptSchema, 201: keptSchema },
  refusals: ['not-a-picture', 'contradiction', 'unknown-reference', 'id-reused'],
  handle: async ({ params: { id }, query, body }, { connections: { sql }, clock }) => {
    const target = { thingId: query.thing ?? null, placeId: query.place ?? null };
    const kept = await keepPicture(sql, { id, ...target, takenAt: query.takenAt ?? clock(), bytes: body });
    if ('refusal' in kept) return kept;
    return { status: kept.made ? 201 : 200, body: { id } };
  },
});

const remove = defineRoute({
  method: 'delete',
  path,
  summary: 'Takes a picture away',
  tag,
  params,
  answers: { 200: keptSchema },
  refusals: ['not-found'],
  handle: async ({ params: { id } }, { connections: { sql } }) =>
    (await removePicture(sql, id)) ? { status: 200, body: { id } } : { refusal: { kind: 'not-found' } },
});

export const pictureRoutes: readonly Route[] = [list, read, keep, remove];
