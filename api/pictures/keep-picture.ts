// Keeps pictures of things and reference pictures of places. A picture never changes: another one has another id.
// Reading one is Prisma's; keeping one and taking one away is the driver's, because the feed hears of it in the same
// transaction.
import type postgres from 'postgres';
import type { RecordRefusal } from '#domain/record.ts';
import type { PrismaClient } from '../../prisma/generated/client.ts';
import { decide, type Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal } from '../record/keep.ts';
import { pictureMimeOf } from './magic.ts';

export const PICTURE_BYTES_MAX = 8 * 1024 * 1024;

export interface NewPicture {
  readonly id: string;
  readonly thingId: string | null;
  readonly placeId: string | null;
  readonly takenAt: number;
  readonly bytes: Uint8Array;
}
export interface KeptPicture {
  readonly mime: string;
  readonly bytes: Uint8Array;
}

/** The picture's bytes; null where there is none of this id. */
export async function readPicture(prisma: PrismaClient, id: string): Promise<KeptPicture | null> {
  return prisma.picture.findUnique({ select: { mime: true, bytes: true }, where: { id } });
}

export interface ListedPicture {
  readonly id: string;
  readonly takenAt: number;
  /** SHA-256 (FIPS 180-4) of the bytes, in lower-case hexadecimal. */
  readonly hash: string;
}

/** The pictures of a thing, the latest first; null where there is no such thing. */
export async function readPicturesOf(sql: postgres.ISql, thingId: string): Promise<ListedPicture[] | null> {
  if ((await sql`select from thing where id = ${thingId}`).count === 0) return null;
  return sql<ListedPicture[]>`
    select id, taken_at::float8 as "takenAt", encode(sha256(bytes), 'hex') as hash from picture
    where thing_id = ${thingId} order by taken_at desc, id desc`;
}

async function checkTarget(tx: Tx, picture: NewPicture): Promise<RecordRefusal | null> {
  const { thingId, placeId } = picture;
  if ((thingId === null) === (placeId === null))
    return {
      kind: 'contradiction',
      fields: [
        { pointer: '/placeId', detail: 'a picture shows one thing or one place; give one of the two ids' },
      ],
    };
  const known =
    thingId !== null
      ? await tx`select from thing where id = ${thingId} and merged_into_id is null`
      : await tx`select from place where id = ${placeId}`;
  if (known.count > 0) return null;
  const pointer = thingId !== null ? '/thingId' : '/placeId';
  return {
    kind: 'unknown-reference',
    fields: [{ pointer, detail: 'names nothing known here; enter it first' }],
  };
}

async function isRepeat(tx: Tx, picture: NewPicture): Promise<boolean> {
  const same = await tx`
    select from picture
    where id = ${picture.id} and thing_id is not distinct from ${picture.thingId}::uuid
      and place_id is not distinct from ${picture.placeId}::uuid and bytes = ${Buffer.from(picture.bytes)}`;
  return same.count > 0;
}

/**
 * Keeps a picture under the id its maker chose; the same bytes again are the same picture.
 * In this order: it is no picture · it shows not exactly one thing or place · that is unknown · the id is another's.
 */
export async function keepPicture(
  sql: postgres.Sql,
  picture: NewPicture,
): Promise<{ readonly made: boolean } | { readonly refusal: KeepRefusal }> {
  const mime = pictureMimeOf(picture.bytes);
  if (mime === null) return { refusal: { kind: 'not-a-picture' } };
  return decide<{ made: boolean }, KeepRefusal>(sql, async (tx) => {
    const refusal = await checkTarget(tx, picture);
    if (refusal !== null) return { refusal };
    const row = {
      id: picture.id,
      thing_id: picture.thingId,
      place_id: picture.placeId,
      mime,
      bytes: Buffer.from(picture.bytes),
      taken_at: picture.takenAt,
    };
    const written = await tx`insert into picture ${tx(row)} on conflict (id) do nothing`;
    if (written.count === 0)
      return (await isRepeat(tx, picture))
        ? { made: false }
        : { refusal: { kind: 'id-reused', id: picture.id } };
    if (picture.placeId !== null) await announceChange(tx, 'place', picture.placeId);
    if (picture.thingId !== null) await announceChange(tx, 'thing', picture.thingId);
    return { made: true };
  });
}

/** Takes a picture away; false where there was none. */
export async function removePicture(sql: postgres.Sql, id: string): Promise<boolean> {
  const { gone } = await sql.begin(async (tx) => {
    const [row] = await tx<{ placeId: string | null; thingId: string | null }[]>`
      delete from picture where id = ${id} returning place_id as "placeId", thing_id as "thingId"`;
    if (row?.placeId) await announceChange(tx, 'place', row.placeId);
    if (row?.thingId) await announceChange(tx, 'thing', row.thingId);
    return { gone: row !== undefined };
  });
  return gone;
}
