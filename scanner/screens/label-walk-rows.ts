// What a label walk wrote down and the service does not have yet: tags that were put on, and new things. Kept on the phone in
// order, so that a walk goes on in a cellar without a network.
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { PLAIN_FACTS } from '#domain/thing.ts';
import { type Database, STRICT } from '../store/database.ts';
import { ask, type Reply } from '../sync/ask.ts';

const KEY = 'label-walk';
const refused = z.string().nullable();

const tieSchema = z.strictObject({
  kind: z.literal('tie'),
  code: z.string(),
  targetId: z.union([thingIdSchema, placeIdSchema]),
  isPlace: z.boolean(),
  name: z.string(),
  /** What it is taken from, seen on the screen and meant. */
  takeFrom: z.string().nullable(),
  refused,
});
const newSchema = z.strictObject({
  kind: z.literal('new'),
  thingId: thingIdSchema,
  name: z.string(),
  classId: plainIdSchema.nullable(),
  placeId: placeIdSchema,
  pictureId: plainIdSchema,
  picture: z.instanceof(Blob).nullable(),
  takenAt: z.int(),
  refused,
});
export const walkRowSchema = z.discriminatedUnion('kind', [tieSchema, newSchema]);
export type WalkRow = z.infer<typeof walkRowSchema>;

/** The rows that wait, oldest first. */
export async function readWalk(database: Database): Promise<readonly WalkRow[]> {
  const kept = z.array(walkRowSchema).safeParse((await database.get('head', KEY)) ?? []);
  return kept.success ? kept.data : [];
}

/** Changes the rows in one step, so that two taps never lose one another. Resolves once the disk has them. */
export async function changeWalk(
  database: Database,
  change: (rows: readonly WalkRow[]) => readonly WalkRow[],
): Promise<readonly WalkRow[]> {
  const tx = database.transaction('head', 'readwrite', STRICT);
  const store = tx.objectStore('head');
  const kept = z.array(walkRowSchema).safeParse((await store.get(KEY)) ?? []);
  const rows = change(kept.success ? kept.data : []);
  await store.put(rows, KEY);
  await tx.done;
  return rows;
}

async function sendPicture(row: Extract<WalkRow, { kind: 'new' }>, picture: Blob): Promise<Reply> {
  const query = new URLSearchParams({ thing: row.thingId });
  try {
    const response = await fetch(`/api/pictures/${row.pictureId}?${query}`, {
      method: 'PUT',
      headers: { 'content-type': 'application/octet-stream' },
      body: picture,
    });
    if (response.ok) return { kind: 'answer', body: null };
    if (response.status >= 500) return { kind: 'silence' };
    const sentence = 'The service did not take the picture. The thing is entered without it.';
    return { kind: 'refused', status: response.status, problem: '', sentence };
  } catch {
    return { kind: 'silence' };
  }
}

async function sendNew(row: Extract<WalkRow, { kind: 'new' }>): Promise<Reply> {
  const { thingId, name, classId, placeId, picture } = row;
  const homes = [{ way: 'driving', placeId, number: 1 }];
  const body = { ...PLAIN_FACTS, name, classId, homes, placeId };
  const made = await ask(`/api/items/${thingId}`, { method: 'PUT', body });
  // Made before, the answer was lost, and the desk has named it since.
  const isThere = made.kind === 'answer' || (made.kind === 'refused' && made.problem === 'id-reused');
  return isThere && picture !== null
    ? sendPicture(row, picture)
    : isThere
      ? { kind: 'answer', body: null }
      : made;
}

function sendTie({ code, targetId, isPlace, takeFrom }: Extract<WalkRow, { kind: 'tie' }>): Promise<Reply> {
  const target = isPlace ? { placeId: targetId } : { thingId: targetId };
  const body = { ...target, ...(takeFrom === null ? {} : { takeFrom }) };
  return ask(`/api/codes/${encodeURIComponent(code)}`, { method: 'PUT', body });
}

/** Two rows say the same when all but their refusal is the same; a picture is known by its id. */
export const keyOfRow = (row: WalkRow): string =>
  row.kind === 'tie' ? `tie ${row.code} ${row.targetId}` : `new ${row.thingId}`;

/**
 * Sends what waits, in order, until the service falls silent. What it has is forgotten here; what it refuses stays with its
 * reason until a person has read it. Gives what waits after that.
 */
export async function sendWalk(database: Database): Promise<readonly WalkRow[]> {
  let rows = await readWalk(database);
  for (const row of rows) {
    if (row.refused !== null) continue;
    const reply = row.kind === 'new' ? await sendNew(row) : await sendTie(row);
    if (reply.kind === 'silence') return rows;
    const key = keyOfRow(row);
    rows = await changeWalk(database, (before) =>
      before.flatMap((one) => {
        if (keyOfRow(one) !== key) return [one];
        return reply.kind === 'refused' ? [{ ...one, refused: reply.sentence }] : [];
      }),
    );
  }
  return rows;
}
