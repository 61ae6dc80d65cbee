// One page of the feed: what changed since a cursor, each record as it is now.
import type postgres from 'postgres';
import type { Change, Cursor, FeedPage } from '#domain/feed.ts';
import { personIdSchema, placeIdSchema, stopIdSchema, thingIdSchema } from '#domain/ids.ts';
import { readClasses } from '../classes/store.ts';
import { readJobs } from '../jobs/store.ts';
import { type LineRow, wireOf } from '../movements/line-rows.ts';
import { readOutfit } from '../outfit/store.ts';
import { readPeople } from '../people/store.ts';
import { readPlaces } from '../places/store.ts';
import { readStops } from '../stops/store.ts';
import { readThings } from '../things/store.ts';

export const FEED_PAGE_MAX = 2_000;

interface ChangeRow {
  readonly no: number;
  readonly token: string;
  readonly kind: string;
  readonly ref: string;
}
type WithoutNo<C> = C extends { readonly no: number } ? Omit<C, 'no'> : never;
/** A change before it has its number. */
type Said = WithoutNo<Exclude<Change, { kind: 'gone' }>>;
type Read = (sql: postgres.ISql, refs: readonly string[]) => Promise<readonly (readonly [string, Said])[]>;

/** How the records of one kind are read, each with the reference that the feed knows it by. */
const READERS: Readonly<Record<Said['kind'], Read>> = {
  movement: async (sql, refs) => {
    const rows = await sql<LineRow[]>`
      select body, thing_id as "thingId", at, time_uncertain as "timeUncertain"
      from movement where id = any(${[...refs]}::uuid[])`;
    return rows.map(wireOf).map((body) => [body.line.id, { kind: 'movement', body }]);
  },
  thing: async (sql, refs) => {
    const things = await readThings(
      sql,
      refs.map((ref) => thingIdSchema.parse(ref)),
    );
    return things.map((body) => [body.id, { kind: 'thing', body }]);
  },
  place: async (sql, refs) => {
    const places = await readPlaces(
      sql,
      refs.map((ref) => placeIdSchema.parse(ref)),
    );
    return places.map((body) => [body.id, { kind: 'place', body }]);
  },
  class: async (sql, refs) =>
    (await readClasses(sql, refs)).map((body) => [body.id, { kind: 'class', body }]),
  stop: async (sql, refs) => {
    const stops = await readStops(
      sql,
      refs.map((ref) => stopIdSchema.parse(ref)),
    );
    return stops.map((body) => [body.id, { kind: 'stop', body }]);
  },
  job: async (sql, refs) => (await readJobs(sql, refs)).map((body) => [body.id, { kind: 'job', body }]),
  person: async (sql, refs) => {
    const people = await readPeople(
      sql,
      refs.map((ref) => personIdSchema.parse(ref)),
    );
    return people.map((body) => [body.id, { kind: 'person', body }]);
  },
  outfit: async (sql, refs) => {
    const body = await readOutfit(sql);
    return body === null ? [] : refs.map((ref) => [ref, { kind: 'outfit', body }]);
  },
};

function isKnownKind(kind: string): kind is Said['kind'] {
  return Object.hasOwn(READERS, kind);
}

/** The cursor is of this database when its number carries its token; 0 is the beginning, also of an empty feed. */
async function isOurs(sql: postgres.ISql, cursor: Cursor): Promise<boolean> {
  if (cursor.no === 0) return cursor.token === '';
  const rows = await sql`select from change where no = ${cursor.no} and token::text = ${cursor.token}`;
  return rows.count > 0;
}

async function bodiesOf(sql: postgres.ISql, rows: readonly ChangeRow[]): Promise<ReadonlyMap<string, Said>> {
  const refs = new Map<Said['kind'], Set<string>>();
  for (const { kind, ref } of rows) {
    if (isKnownKind(kind)) refs.set(kind, (refs.get(kind) ?? new Set()).add(ref));
  }
  const read = await Promise.all(
    [...refs].map(async ([kind, ids]) => {
      const pairs = await READERS[kind](sql, [...ids]);
      return pairs.map(([ref, said]) => [`${kind} ${ref}`, said] as const);
    }),
  );
  return new Map(read.flat());
}

/** A record that changed twice on a page is told once, at its last number: it is told as it is now anyway. */
function lastOfEach(rows: readonly ChangeRow[]): readonly ChangeRow[] {
  const last = new Map(rows.map((row) => [`${row.kind} ${row.ref}`, row]));
  return [...last.values()].sort((a, b) => a.no - b.no);
}

/** The page after the cursor; null when the cursor is of another database, or of this one before it was restored. */
export async function readFeed(sql: postgres.ISql, cursor: Cursor, limit: number): Promise<FeedPage | null> {
  if (!(await isOurs(sql, cursor))) return null;
  const rows = await sql<ChangeRow[]>`
    select no, token, kind, ref from change where no > ${cursor.no} order by no limit ${limit + 1}`;
  const shown = rows.slice(0, limit);
  const bodies = await bodiesOf(sql, shown);
  const changes = lastOfEach(shown).flatMap(({ kind, ref, no }): Change[] => {
    const said = bodies.get(`${kind} ${ref}`);
    if (said) return [{ ...said, no }];
    return isKnownKind(kind) && kind !== 'outfit' ? [{ kind: 'gone', no, of: kind, ref }] : [];
  });
  const last = shown.at(-1);
  return { changes, cursor: last ? { no: last.no, token: last.token } : cursor, more: rows.length > limit };
}
