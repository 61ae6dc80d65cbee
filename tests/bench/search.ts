// "search": search as one types, with 100,000 things, letter by letter over HTTP; against the barest statement for the
// same letters, asked by the driver.
import { randomUUID } from 'node:crypto';
import postgres from 'postgres';
import { printFigure, quantileOf } from './figure.ts';
import { type BenchServer, type Running, startService } from './service.ts';

const THINGS = 100_000;
const SHELVES = 500;
const ROUNDS = 3;
const SHOWN = 50;
const WORDS = [
  'hide stool',
  'long lens',
  'marsh camera',
  'twin charger',
  'rain cover',
  'clamp',
  'boom pole',
  'card reader',
];
const MAKERS = [
  'Heron Optics',
  'Reedwork',
  'Sedge Power',
  'Silt',
  'Fenland',
  'Lowmere',
  'Wexmoor',
  'Pellbury',
];
// What somebody types: a name, a maker with a model, a serial number, a tag, and three with a slip of the finger.
const TYPED = [
  'marsh camera',
  'reedwork rd 41',
  'sn 004217',
  'k00777',
  'lnog lens',
  'chrager',
  'wexmor clamp',
  'boom',
];

async function enterThings(url: string): Promise<void> {
  const sql = postgres(url, { onnotice: () => {}, max: 1 });
  const device = randomUUID();
  await sql.begin(async (tx) => {
    await tx`set local session_replication_role = replica`;
    await tx`insert into outfit (id, name, currency, zone, last_look) values (1, 'Bench', 'EUR', 'UTC', '{}')`;
    await tx`
      insert into place (id, kind, name, folded)
      select ('00000000-0000-4000-8001-' || lpad(n::text, 12, '0'))::uuid, 'store', 'Shelf ' || n, 'shelf ' || n
      from generate_series(1, ${SHELVES}::int) n`;
    await tx`
      insert into thing (id, kind, name, maker, model, serial, folded)
      select id, 'item', initcap(word) || ' ' || n, maker, 'RD ' || n % 90, 'SN ' || lpad(n::text, 6, '0'),
        word || ' ' || n || ' ' || lower(maker) || ' rd ' || n % 90 || ' sn ' || lpad(n::text, 6, '0') || ' sn' || lpad(n::text, 6, '0')
      from (
        select n, ('00000000-0000-4000-9000-' || lpad(n::text, 12, '0'))::uuid as id,
          (${WORDS}::text[])[n % ${WORDS.length} + 1] as word, (${MAKERS}::text[])[n / 8 % ${MAKERS.length} + 1] as maker
        from generate_series(1, ${THINGS}::int) n) t`;
    await tx`
      insert into code (id, code, kind, thing_id, since)
      select gen_random_uuid(), 'K' || lpad(n::text, 6, '0'), 'tag', ('00000000-0000-4000-9000-' || lpad(n::text, 12, '0'))::uuid, 0
      from generate_series(1, ${THINGS}::int) n`;
    await tx`
      insert into position (thing_id, place_id, at, movement_id)
      select id, ('00000000-0000-4000-8001-' || lpad((row_number() over () % ${SHELVES} + 1)::text, 12, '0'))::uuid, 1, ${device}
      from thing`;
  });
  await sql`vacuum analyze`;
  await sql.end();
}

/** Every beginning of every text, as somebody types it. */
const LETTERS = TYPED.flatMap((text) => Array.from(text, (_, at) => text.slice(0, at + 1)));

async function timeEach(ask: (text: string) => Promise<number>): Promise<number[]> {
  const times: number[] = [];
  for (const text of LETTERS) {
    const startedAt = performance.now();
    await ask(text);
    times.push(performance.now() - startedAt);
  }
  return times;
}

async function askService(service: Running, text: string): Promise<number> {
  const answer = await fetch(`${service.url}/api/search?${new URLSearchParams({ q: text })}`);
  const { hits } = await answer.json();
  // Half a mistyped word may be like nothing; the whole text never is.
  if (!Array.isArray(hits) || (hits.length === 0 && TYPED.includes(text)))
    throw new Error(`nothing was found by "${text}"`);
  return hits.length;
}

export async function benchSearch(server: BenchServer): Promise<void> {
  const url = await server.makeDatabase();
  await enterThings(url);
  const service = await startService(url);
  const sql = postgres(url, { onnotice: () => {}, max: 1 });
  const askBare = async (text: string): Promise<number> => {
    const part = `%${text.trim()}%`;
    return (await sql`select id, name from thing where folded like ${part} order by name, id limit ${SHOWN}`)
      .length;
  };
  try {
    const ours: number[] = [];
    const bare: number[] = [];
    for (let round = 0; round <= ROUNDS; round += 1) {
      const [mine, theirs] = [await timeEach((text) => askService(service, text)), await timeEach(askBare)];
      // The first round only warms both up.
      if (round === 0) continue;
      ours.push(...mine);
      bare.push(...theirs);
    }
    const [value, opponent] = [quantileOf(ours, 0.95), quantileOf(bare, 0.95)];
    printFigure({
      ...{ figure: 'search', value: Number(value.toFixed(1)), unit: 'ms, 95th percentile' },
      ...{
        against: 'the barest statement for the same letters',
        ratio: Number((value / opponent).toFixed(2)),
      },
      ...{ opponent: Number(opponent.toFixed(1)), median: Number(quantileOf(ours, 0.5).toFixed(1)) },
      ...{ things: THINGS, questions: ours.length },
    });
  } finally {
    await sql.end();
    await service.stop();
  }
}
