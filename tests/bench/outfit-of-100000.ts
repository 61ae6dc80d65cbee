// An outfit of 100,000 things in some 2,200 places, straight into the tables: half of the things in one place.
import { randomUUID } from 'node:crypto';
import postgres from 'postgres';

export const THINGS = 100_000;
export const CASES = 2_000;
export const SHELVES = 200;
const FAULTY = 200;
const MISSING = 100;

/** The id of the n-th of a kind, so that rows can be joined by number. */
const idOf = (kind: string, n: string) =>
  `('00000000-0000-4000-${kind}-' || lpad((${n})::text, 12, '0'))::uuid`;
const lineId = (n: string) => `('01940000-0000-7000-8000-' || lpad((${n})::text, 12, '0'))::uuid`;

/** The store in which half of all things lie. */
export const STORE_ID = '00000000-0000-4000-8001-000000000001';

function entriesOf(at: number, device: string): readonly string[] {
  const line = `'deviceId', '${device}', 'deviceAt', ${at}::bigint, 'clockRun', '${device}', 'personId', null,
    'stopId', null, 'round', null`;
  const move = `'spot', null, 'check', null, 'why', 'arrival', 'code', null, 'sealUnbroken', false, 'note', null`;
  const last = THINGS + CASES;
  return [
    `insert into outfit (id, name, currency, zone, last_look) values (1, 'Bench', 'EUR', 'UTC', '{}')`,
    `insert into thing (id, kind, name) values (${idOf('8000', '1')}, 'item', 'Bittern')`,
    `insert into place (id, kind, name, thing_id) values (${idOf('8000', '1')}, 'vehicle', 'Bittern', ${idOf('8000', '1')})`,
    `insert into place (id, kind, name, parent_id) select ${idOf('8002', 'n')}, 'compartment', 'Drawer ' || n, ${idOf('8000', '1')}
      from generate_series(1, 8) n`,
    `insert into place (id, kind, name) values ('${STORE_ID}', 'store', 'Boathouse')`,
    `insert into place (id, kind, name, parent_id) select ${idOf('8003', 'n')}, 'compartment', 'Shelf ' || n, '${STORE_ID}'
      from generate_series(1, ${SHELVES}) n`,
    `insert into thing (id, kind, name, folded, container)
      select ${idOf('9000', 'n')}, 'item', case when n > ${THINGS} then 'Case ' else 'Lamp ' end || n,
        case when n > ${THINGS} then 'case ' else 'lamp ' end || n, n > ${THINGS} from generate_series(1, ${last}) n`,
    `insert into place (id, kind, name, thing_id) select ${idOf('9000', 'n')}, 'container', 'Case ' || n, ${idOf('9000', 'n')}
      from generate_series(${THINGS + 1}, ${last}) n`,
    `insert into movement (id, kind, thing_id, to_id, at, device_id, device_no, received_at, body)
      select ${lineId('n')}, 'move', thing, place, ${at}, '${device}', n, ${at}, jsonb_build_object('kind', 'move',
        'id', ${lineId('n')}, 'deviceNo', n, 'thingId', thing, 'toId', place, ${move}, ${line})
      from (
        select n, ${idOf('9000', 'n')} as thing, case
          when n > ${THINGS} then ${idOf('8003', `n % ${SHELVES} + 1`)}
          when n <= 320 then ${idOf('8002', 'n % 8 + 1')}
          when n % 2 = 0 then '${STORE_ID}'::uuid
          else ${idOf('9000', `${THINGS} + n / 2 % ${CASES} + 1`)} end as place
        from generate_series(1, ${last}) n) line`,
    `insert into position (thing_id, place_id, at, movement_id) select thing_id, to_id, at, id from movement`,
    // All but each two-hundredth are where they live.
    `insert into home (thing_id, way, place_id) select thing_id, 'driving',
        case when row_number() over () % 200 = 0 then ${idOf('8002', '1')} else place_id end from position`,
    `insert into replacement_value (id, thing_id, amount_minor, currency, on_date, source)
      select gen_random_uuid(), ${idOf('9000', 'n')}, 1000 + n, 'EUR', '2026-01-01', 'the shop’s list' from generate_series(1, ${last}) n`,
    `insert into movement (id, kind, thing_id, at, device_id, device_no, received_at, body)
      select ${lineId(`n + ${last}`)}, 'mark', ${idOf('9000', 'n * 50')}, ${at + 1}, '${device}', n + ${last}, ${at + 1},
        jsonb_build_object('kind', 'mark', 'id', ${lineId(`n + ${last}`)}, 'deviceNo', n + ${last}, 'thingId', ${idOf('9000', 'n * 50')},
          'mark', 'faulty', 'on', true, 'note', 'hinge is loose', ${line})
      from generate_series(1, ${FAULTY}) n`,
    `insert into movement (id, kind, thing_id, at, device_id, device_no, received_at, body)
      select ${lineId(`n + 2 * ${last}`)}, 'absence', ${idOf('9000', 'n * 70')}, ${at + 2}, '${device}', n + 2 * ${last}, ${at + 2},
        jsonb_build_object('kind', 'absence', 'id', ${lineId(`n + 2 * ${last}`)}, 'deviceNo', n + 2 * ${last},
          'thingId', ${idOf('9000', 'n * 70')}, 'toId', null, 'finding', 'not-found', 'number', null, 'shownId', null,
          'note', null, ${line})
      from generate_series(1, ${MISSING}) n`,
  ];
}

/** Enters the outfit into an empty, migrated database. */
export async function enterOutfitOf100000(url: string): Promise<void> {
  const sql = postgres(url, { onnotice: () => {}, max: 1 });
  const at = Date.now() - 12 * 86_400_000;
  await sql.begin(async (tx) => {
    await tx`set local session_replication_role = replica`;
    for (const entry of entriesOf(at, randomUUID())) await tx.unsafe(entry);
  });
  await sql`vacuum analyze`;
  await sql.end();
}
