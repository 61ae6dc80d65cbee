// The feed: whoever reads from a cursor misses nothing, whatever writers do at the same time.
import { randomUUID } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Change, type Cursor, feedPageSchema } from '#domain/feed.ts';
import { openConnections } from '../../api/database/connections.ts';
import { noteChanges } from '../../api/feed/note-changes.ts';
import { numberChanges } from '../../api/feed/number-changes.ts';
import { openTestDatabase } from '../database.ts';
import { type Service, startService } from './app.ts';
import { plainFacts } from './facts.ts';
import { diceFrom } from './fuzz.ts';
import { makePhone, send } from './lines.ts';

const START: Cursor = { no: 0, token: '' };
let service: Service;
beforeAll(async () => {
  service = await startService();
});
afterAll(() => service.close());

async function readPage(from: Cursor, limit = 500, at: Service = service) {
  const reply = await at.ask('GET', `/api/feed?no=${from.no}&token=${from.token}&limit=${limit}`);
  expect(reply.status, reply.text).toBe(200);
  return feedPageSchema.parse(reply.body);
}

/** Everything after a cursor, page by page, and where it ends. */
async function readOn(from: Cursor, limit = 500, at: Service = service) {
  const changes: Change[] = [];
  let cursor = from;
  for (;;) {
    const page = await readPage(cursor, limit, at);
    changes.push(...page.changes);
    cursor = page.cursor;
    if (!page.more) return { changes, cursor };
  }
}

async function makeItem(name: string): Promise<string> {
  const reply = await service.ask('POST', '/api/items', { body: { ...plainFacts, name } });
  return String(reply.body.id);
}
async function makePlace(name: string): Promise<string> {
  const place = { kind: 'store', name, parentId: null, sort: 0, zone: null, address: null, note: null };
  return String((await service.ask('POST', '/api/places', { body: place })).body.id);
}

const refOf = (change: Change): string => {
  if (change.kind === 'gone') return change.ref;
  if (change.kind === 'movement') return change.body.line.id;
  return 'id' in change.body ? change.body.id : 'outfit';
};

describe('ten writers at once, some held open, some undone', () => {
  const WRITERS = 10;
  const WRITES_EACH = 40;

  test('two readers of two processes see each committed change once, in one order, and nothing else', async () => {
    const database = await openTestDatabase();
    const writing = openConnections(database.url, WRITERS);
    const first = await startService({}, database);
    const second = await startService({}, database);
    const committed = new Set<string>();
    const undone = new Set<string>();

    const write = async (dice: () => number) => {
      for (let n = 0; n < WRITES_EACH; n += 1) {
        const refs = Array.from({ length: 1 + Math.floor(dice() * 3) }, () => randomUUID());
        const fails = dice() < 0.25;
        const began = writing.sql.begin(async (tx) => {
          await noteChanges(
            tx,
            refs.map((ref) => ({ kind: 'thing', ref })),
          );
          // Held open: rows that were noted early become visible late.
          await pause(dice() < 0.15 ? 120 * dice() : 4 * dice());
          if (fails) throw new Error('undone on purpose');
        });
        const isCommitted = await began.then(
          () => true,
          () => false,
        );
        for (const ref of refs) (isCommitted ? committed : undone).add(ref);
      }
    };
    const follow = async (at: Service, done: () => boolean) => {
      const seen: { no: number; ref: string }[] = [];
      let cursor = START;
      for (;;) {
        const last = done();
        const { changes, cursor: next } = await readOn(cursor, 7, at);
        for (const change of changes) seen.push({ no: change.no, ref: refOf(change) });
        cursor = next;
        if (last) return seen;
      }
    };

    let isDone = false;
    const writers = Promise.all(Array.from({ length: WRITERS }, (_, n) => write(diceFrom(100 + n))));
    const readers = [first, second].map((at) => follow(at, () => isDone));
    await writers;
    isDone = true;
    const [one = [], other = []] = await Promise.all(readers);
    await Promise.all([first.close(), second.close(), writing.close()]);
    await database.close();

    expect(undone.size).toBeGreaterThan(0);
    expect(one.map(({ ref }) => ref).sort()).toEqual([...committed].sort());
    expect(one.every(({ no }, at) => at === 0 || no > (one[at - 1]?.no ?? 0))).toBe(true);
    expect(other).toEqual(one);
  });

  test('a change that is noted first and committed last comes last, and is not stepped over', async () => {
    const { cursor } = await readOn(START);
    const [early, late] = [randomUUID(), randomUUID()];
    const gate = { open: () => {} };
    const opened = new Promise<void>((resolve) => {
      gate.open = resolve;
    });
    const held = service.database.sql.begin(async (tx) => {
      await noteChanges(tx, [{ kind: 'thing', ref: early }]);
      await opened;
    });
    await service.database.sql.begin((tx) => noteChanges(tx, [{ kind: 'thing', ref: late }]));
    const before = await readOn(cursor);
    gate.open();
    await held;
    const after = await readOn(before.cursor);
    expect(before.changes.map(refOf)).toEqual([late]);
    expect(after.changes.map(refOf)).toEqual([early]);
  });

  test('two numbering steps at the same moment give every change one number', async () => {
    const { cursor } = await readOn(START);
    const refs = Array.from({ length: 200 }, () => randomUUID());
    await service.database.sql.begin((tx) =>
      noteChanges(
        tx,
        refs.map((ref) => ({ kind: 'thing', ref })),
      ),
    );
    await Promise.all(Array.from({ length: 6 }, () => numberChanges(service.database.sql)));
    const { changes } = await readOn(cursor);
    expect(changes.map(refOf)).toEqual(refs);
  });
});

describe('what a page tells', () => {
  test('a record comes as it is now, once on a page, and a line of the ledger with its time', async () => {
    const { cursor } = await readOn(START);
    const lamp = await makeItem('Heron lamp');
    const shore = await makePlace('Shore');
    const edited = { ...plainFacts, name: 'Heron lamp, small' };
    await service.ask('PUT', `/api/items/${lamp}`, { body: edited, headers: { 'if-match': '"1"' } });
    const phone = makePhone();
    const [answer] = await send(service, [phone.move(Date.now(), lamp, shore)], phone.clocks);
    const { changes } = await readOn(cursor);
    expect(changes.filter(({ kind }) => kind === 'thing')).toMatchObject([
      { body: { id: lamp, name: 'Heron lamp, small', version: 2 } },
    ]);
    expect(changes.filter(({ kind }) => kind === 'place')).toMatchObject([{ body: { id: shore } }]);
    expect(changes.filter(({ kind }) => kind === 'movement')).toMatchObject([
      { body: { line: { id: answer?.id, thingId: lamp }, at: answer && 'at' in answer ? answer.at : -1 } },
    ]);
  });

  test('a repeat of a line is no change', async () => {
    const [lamp, shore, phone] = [await makeItem('Repeat lamp'), await makePlace('Bank'), makePhone()];
    const line = phone.move(Date.now(), lamp, shore);
    await send(service, [line], phone.clocks);
    const { cursor } = await readOn(START);
    await send(service, [line, line], phone.clocks);
    expect((await readOn(cursor)).changes).toEqual([]);
  });

  test('the cursor stays where it is while nothing happens', async () => {
    const { cursor } = await readOn(START);
    expect(await readPage(cursor)).toEqual({ changes: [], cursor, more: false });
  });

  test('a catalogue and the feed from its cursor are the whole', async () => {
    const facts = { name: 'Reed', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric', yearEnd: '12-31' };
    await service.ask('PUT', '/api/outfit', {
      body: { ...facts, mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] },
    });
    const before = await makeItem('Known lamp');
    const { body } = await service.ask('GET', '/api/catalogue');
    const after = await makeItem('New lamp');
    const cursor: Cursor = feedPageSchema.shape.cursor.parse(body.cursor);
    const { changes } = await readOn(cursor);
    expect(JSON.stringify(body.things)).toContain(before);
    expect(JSON.stringify(body.things)).not.toContain(after);
    expect(changes.map(refOf)).toContain(after);
  });
});

describe('a cursor of another database', () => {
  const expectUnknown = async (no: number | string, token: string) => {
    const reply = await service.ask('GET', `/api/feed?no=${no}&token=${token}`);
    expect([reply.status, reply.body.type]).toEqual([410, '/problems/cursor-unknown']);
  };

  test('is told to begin again, whether the number, the token or both are not there', async () => {
    await makeItem('Some lamp');
    const { cursor } = await readOn(START);
    await expectUnknown(cursor.no, randomUUID());
    await expectUnknown(cursor.no + 1_000, cursor.token);
    await expectUnknown(cursor.no - 1, cursor.token);
    await expectUnknown(0, cursor.token);
    await expectUnknown(cursor.no, "x'--");
  });

  test('a database that was set back and went on has the number again, but not the token', async () => {
    const { cursor: kept } = await readOn(START);
    await makeItem('Lost lamp');
    const { cursor: lost } = await readOn(kept);
    await service.database.sql`delete from change where no > ${kept.no}`;
    await makeItem('Other lamp');
    const { cursor: now } = await readOn(kept);
    expect(now.no).toBe(lost.no);
    await expectUnknown(lost.no, lost.token);
  });
});

describe('the stream', () => {
  /** Opens a stream and gives its events one by one. */
  async function openStream(at: Service) {
    const ending = new AbortController();
    const response = await fetch(`http://127.0.0.1:${at.port}/api/feed/stream`, { signal: ending.signal });
    const reader = response.body?.pipeThrough(new TextDecoderStream()).getReader();
    let text = '';
    const next = async (): Promise<string> => {
      while (!text.includes('\n\n')) {
        const { value, done } = (await reader?.read()) ?? { value: undefined, done: true };
        if (done) throw new Error('the stream ended');
        text += value;
      }
      const [event = '', ...rest] = text.split('\n\n');
      text = rest.join('\n\n');
      return event;
    };
    return { response, next, end: () => ending.abort() };
  }
  const numberIn = (event: string) => Number(/data: (\d+)/.exec(event)?.[1]);

  test('tells the highest number at once, and a higher one whoever wrote, in this process or another', async () => {
    const other = await startService({}, service.database);
    const stream = await openStream(service);
    expect(stream.response.headers.get('content-type')).toBe('text/event-stream');
    const { cursor } = await readOn(START);
    expect(numberIn(await stream.next())).toBe(cursor.no);
    await makeItem('Here');
    const here = numberIn(await stream.next());
    await other.ask('POST', '/api/items', { body: { ...plainFacts, name: 'There' } });
    const there = numberIn(await stream.next());
    stream.end();
    await other.close();
    expect(here).toBeGreaterThan(cursor.no);
    expect(there).toBeGreaterThan(here);
  });
});
