// Keeps what the service says: a whole catalogue, a page of the feed, the answers to a batch.
import type { Catalogue, Change, FeedPage } from '#domain/feed.ts';
import type { LineAnswer, Movement } from '#domain/movement.ts';
import { type Database, RECORD_STORES, type RecordStore, STRICT } from './database.ts';
import { type Head, type KeptLine, keptLineSchema, type WaitingLine } from './rows.ts';

const KEEP_MS = 60 * 86_400_000;

/** Takes the place of whatever catalogue was there, in one step. */
export async function keepCatalogue(database: Database, catalogue: Catalogue): Promise<void> {
  const tx = database.transaction([...RECORD_STORES, 'head'], 'readwrite');
  for (const store of RECORD_STORES) void tx.objectStore(store).clear();
  const putAll = (store: RecordStore, records: readonly { readonly id: string }[]) => {
    for (const record of records) void tx.objectStore(store).put(record, record.id);
  };
  putAll('person', catalogue.people);
  putAll('class', catalogue.classes);
  putAll('place', catalogue.places);
  putAll('thing', catalogue.things);
  putAll('stop', catalogue.stops);
  putAll('job', catalogue.jobs);
  for (const recorded of catalogue.lines) void tx.objectStore('line').put(recorded, recorded.line.id);
  const { cursor, at, since, outfit } = catalogue;
  const head: Head = { cursor, at, since, outfit };
  void tx.objectStore('head').put(head, 'catalogue');
  void tx.objectStore('head').put(catalogue.base, 'base');
  void tx.objectStore('head').put(catalogue.levels, 'levels');
  await tx.done;
}

const STORE_OF: Readonly<Record<string, RecordStore>> = {
  movement: 'line',
  thing: 'thing',
  place: 'place',
  class: 'class',
  stop: 'stop',
  job: 'job',
  person: 'person',
};

function recordOf(change: Change): { readonly key: string; readonly body: unknown } | null {
  if (change.kind === 'movement') return { key: change.body.line.id, body: change.body };
  if (change.kind === 'outfit' || change.kind === 'gone') return null;
  return { key: change.body.id, body: change.body };
}

/** Keeps a page and its cursor in one step: whatever happens, the page is read again or it is there. */
export async function keepPage(database: Database, page: FeedPage, head: Head): Promise<Head> {
  const tx = database.transaction([...RECORD_STORES, 'head'], 'readwrite');
  let { outfit } = head;
  for (const change of page.changes) {
    if (change.kind === 'outfit') outfit = change.body;
    const store = STORE_OF[change.kind === 'gone' ? change.of : change.kind];
    if (store === undefined) continue;
    const record = recordOf(change);
    if (record !== null) void tx.objectStore(store).put(record.body, record.key);
    else if (change.kind === 'gone') void tx.objectStore(store).delete(change.ref);
  }
  const next: Head = { ...head, cursor: page.cursor, outfit };
  void tx.objectStore('head').put(next, 'catalogue');
  await tx.done;
  return next;
}

type Stored = Exclude<LineAnswer, { answer: 'refused' }>;

/** What became of one line of the outbox. */
export interface Settled {
  readonly row: WaitingLine;
  readonly answer: LineAnswer;
}

/** Takes answered lines out of the outbox: to the kept ones, or to the drawer with the reason. All in one step. */
export async function keepAnswers(
  database: Database,
  settled: readonly Settled[],
  now: number,
): Promise<readonly KeptLine[]> {
  const tx = database.transaction(['outbox', 'kept', 'line', 'drawer'], 'readwrite', STRICT);
  const kept: KeptLine[] = [];
  for (const { row, answer } of settled) {
    void tx.objectStore('outbox').delete(row.deviceNo);
    if (answer.answer === 'refused') {
      const why = [answer.detail, ...answer.fields.map(({ pointer, detail }) => `${pointer} ${detail}`)].join(
        ' ',
      );
      const drawn = { key: row.line.id, what: 'movement', why, at: now, body: row.line };
      void tx.objectStore('drawer').put(drawn, row.line.id);
      continue;
    }
    const line = keptFrom(row.line, answer, now);
    kept.push(line);
    void tx.objectStore('kept').put(line, line.id);
    const { at, timeUncertain } = line;
    void tx.objectStore('line').put({ line: row.line, at, timeUncertain }, line.id);
  }
  await tx.done;
  return kept;
}

function keptFrom(line: Movement, { at, timeUncertain }: Stored, keptAt: number): KeptLine {
  return { id: line.id, line, at, timeUncertain, keptAt };
}

/** Lets acknowledged lines go after 60 days. */
export async function dropOldKept(database: Database, now: number): Promise<void> {
  const tx = database.transaction('kept', 'readwrite');
  for (let cursor = await tx.store.openCursor(); cursor; cursor = await cursor.continue()) {
    const row = keptLineSchema.safeParse(cursor.value);
    if (row.success && row.data.keptAt < now - KEEP_MS) await cursor.delete();
  }
  await tx.done;
}

/** A restored service may have lost lines: every line of the last 60 days goes into the outbox once more (law 11). */
export async function sendKeptAgain(database: Database): Promise<void> {
  const tx = database.transaction(['kept', 'outbox'], 'readwrite', STRICT);
  for (const value of await tx.objectStore('kept').getAll()) {
    const row = keptLineSchema.safeParse(value);
    if (!row.success) continue;
    const { line, at } = row.data;
    void tx.objectStore('outbox').put({ deviceNo: line.deviceNo, line, at }, line.deviceNo);
  }
  await tx.done;
}
