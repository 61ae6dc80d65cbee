// "count at scale": reading a count of 300 things in a small and in a very large outfit.
import { randomUUID } from 'node:crypto';
import postgres from 'postgres';
import { alternate, printFigure } from './figure.ts';
import { type BenchServer, type Running, startService } from './service.ts';

const ROUNDS = 5;
const READS = 20;
const ABOARD = 300;
const COMPARTMENTS = 8;
const HOUR = 3_600_000;
const SMALL = { items: 10_000, movements: 50_000 };
const LARGE = { items: 1_000_000, movements: 5_000_000 };

interface Outfit {
  readonly url: string;
  readonly stopId: string;
}

/** Things and movements straight into the tables, with foreign keys unchecked: five million rows in minutes. */
async function enterOutfit(
  sql: postgres.TransactionSql,
  size: typeof SMALL,
  now: number,
  stopId: string,
): Promise<void> {
  const [vehicle, place, device] = [randomUUID(), randomUUID(), randomUUID()];
  await sql`set local session_replication_role = replica`;
  await sql`insert into outfit (id, name, currency, zone, last_look) values (1, 'Bench', 'EUR', 'UTC', '{}')`;
  await sql`insert into thing (id, kind, name) values (${vehicle}, 'item', '4×4')`;
  await sql`insert into place (id, kind, name, thing_id) values (${vehicle}, 'vehicle', '4×4', ${vehicle})`;
  await sql`insert into place (id, kind, name) values (${place}, 'location', 'Sluice')`;
  await sql`insert into place (id, kind, name, parent_id)
    select ('00000000-0000-4000-8000-' || lpad(n::text, 12, '0'))::uuid, 'compartment', 'Drawer ' || n, ${vehicle}
    from generate_series(1, ${COMPARTMENTS}) n`;
  await sql`insert into place (id, kind, name)
    select ('00000000-0000-4000-8001-' || lpad(n::text, 12, '0'))::uuid, 'store', 'Shelf ' || n from generate_series(1, 1000) n`;
  await sql`insert into thing (id, kind, name, folded)
    select ('00000000-0000-4000-9000-' || lpad(n::text, 12, '0'))::uuid, 'item', 'Lamp ' || n, 'lamp ' || n
    from generate_series(1, ${size.items}) n`;
  const ago = now - 60 * HOUR;
  await sql`
    insert into movement (id, kind, thing_id, to_id, at, device_id, device_no, received_at, body)
    select id, 'move', thing, place, at, ${device}, n, at, jsonb_build_object('kind', 'move', 'id', id, 'deviceId', ${device}::text,
      'deviceNo', n, 'deviceAt', at, 'clockRun', ${device}::text, 'personId', null, 'stopId', null, 'round', null, 'note', null,
      'check', 'scanned', 'why', 'tidy', 'spot', null, 'thingId', thing, 'code', null, 'toId', place, 'sealUnbroken', false)
    from (
      select n, ('019a0000-' || substr(lpad(to_hex(n), 8, '0'), 1, 4) || '-7' || substr(lpad(to_hex(n), 8, '0'), 5, 3) || '-8000-' || lpad(n::text, 12, '0'))::uuid as id,
        ('00000000-0000-4000-9000-' || lpad((n % ${size.items} + 1)::text, 12, '0'))::uuid as thing,
        case when n % ${size.items} < ${ABOARD}
          then ('00000000-0000-4000-8000-' || lpad((n % ${COMPARTMENTS} + 1)::text, 12, '0'))::uuid
          else ('00000000-0000-4000-8001-' || lpad((n % 1000 + 1)::text, 12, '0'))::uuid end as place,
        ${ago}::bigint - (${size.movements} - n) as at
      from generate_series(1, ${size.movements}::int) n) line`;
  await sql`
    insert into position (thing_id, place_id, at, movement_id)
    select distinct on (thing_id) thing_id, to_id, at, id from movement
    where at > ${ago - size.items - 1} order by thing_id, at desc, id desc`;
  await sql`insert into stop (id, place_id, name, kind, zone, starts_at) values (${stopId}, ${place}, 'Sluice', 'location', 'UTC', ${now - HOUR})`;
  const open = {
    kind: 'open',
    id: '019b0000-0000-7000-8000-000000000001',
    deviceId: device,
    deviceNo: 1,
    deviceAt: now,
  };
  const said = { clockRun: device, personId: null, stopId, round: 1, note: null, vehicleId: vehicle };
  await sql`insert into movement (id, kind, to_id, stop_id, round, at, device_id, device_no, received_at, body)
    values (${open.id}, 'open', ${vehicle}, ${stopId}, 1, ${now}, ${device}, 1, ${now}, ${sql.json({ ...open, ...said })})`;
}

async function makeOutfit(server: BenchServer, size: typeof SMALL): Promise<Outfit> {
  const url = await server.makeDatabase();
  const sql = postgres(url, { onnotice: () => {}, max: 1 });
  const stopId = randomUUID();
  await sql.begin((tx) => enterOutfit(tx, size, Date.now(), stopId));
  await sql`vacuum analyze`;
  await sql.end();
  return { url, stopId };
}

function readCounts(service: Running, { stopId }: Outfit) {
  return async () => {
    const startedAt = performance.now();
    for (let read = 0; read < READS; read += 1) {
      const answer = await fetch(`${service.url}/api/counts/${stopId}/1`);
      const count = await answer.json();
      if (count.lines?.length !== ABOARD)
        throw new Error(`the count has ${count.lines?.length} lines: ${JSON.stringify(count).slice(0, 300)}`);
    }
    return (performance.now() - startedAt) / READS;
  };
}

export async function benchCountAtScale(server: BenchServer): Promise<void> {
  const [small, large] = [await makeOutfit(server, SMALL), await makeOutfit(server, LARGE)];
  const [ours, theirs] = [await startService(large.url), await startService(small.url)];
  try {
    const [readLarge, readSmall] = [readCounts(ours, large), readCounts(theirs, small)];
    await Promise.all([readLarge(), readSmall()]);
    const rounds = await alternate(ROUNDS, readLarge, readSmall);
    printFigure({
      ...{ figure: 'count at scale', value: Number(rounds.ours.toFixed(1)), unit: 'ms' },
      ...{ against: `${SMALL.items} items and ${SMALL.movements} movements`, ratio: rounds.ratio },
      ...{
        opponent: Number(rounds.theirs.toFixed(1)),
        items: LARGE.items,
        movements: LARGE.movements,
        lines: ABOARD,
      },
    });
  } finally {
    await Promise.all([ours.stop(), theirs.stop()]);
  }
}
