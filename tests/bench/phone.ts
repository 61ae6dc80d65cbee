// A phone page over an outfit of ten thousand things, as the phone benches use it.
import { randomUUID } from 'node:crypto';
import type { Page } from 'playwright-core';
import postgres from 'postgres';
import { openBrowser } from '../browser/browser.ts';
import { startBenchServer, startService } from './service.ts';

export const THINGS = 10_000;
/** How many of them a vehicle carries on an ordinary day. */
export const ABOARD = 300;
const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' };

/** The code on the n-th thing; the first ones are aboard. */
export const codeOf = (n: number): string => `REED-${String(n).padStart(5, '0')}`;

async function enterOutfit(url: string, aboard: number): Promise<void> {
  const sql = postgres(url, { onnotice: () => {}, max: 1 });
  const [vehicle, store, person, device] = [randomUUID(), randomUUID(), randomUUID(), randomUUID()];
  const at = Date.now() - 12 * 86_400_000;
  await sql`insert into outfit (id, name, currency, zone, last_look) values (1, 'Bench', 'EUR', 'UTC', '{}')`;
  await sql`insert into person (id, name, role) values (${person}, 'Ida', 'owner')`;
  await sql`insert into thing (id, kind, name) values (${vehicle}, 'item', 'Bittern')`;
  await sql`insert into place (id, kind, name, thing_id) values (${vehicle}, 'vehicle', 'Bittern', ${vehicle})`;
  await sql`insert into place (id, kind, name) values (${store}, 'store', 'Boathouse')`;
  await sql`
    insert into place (id, kind, name, parent_id)
    select gen_random_uuid(), 'compartment', 'Drawer ' || n, ${vehicle} from generate_series(1, 8) n`;
  await sql`
    insert into thing (id, kind, name, serial)
    select gen_random_uuid(), 'item', 'Lamp ' || n, 'LA-' || n from generate_series(1, ${THINGS}) n`;
  await sql`
    insert into movement (id, kind, thing_id, to_id, at, device_id, device_no, received_at, body)
    select id, 'move', thing, place, ${at}, ${device}, n, ${at}, jsonb_build_object('kind', 'move', 'id', id,
      'deviceId', ${device}::text, 'deviceNo', n, 'deviceAt', ${at}::bigint, 'clockRun', ${device}::text, 'personId', null,
      'stopId', null, 'round', null, 'note', null, 'check', null, 'why', 'arrival', 'spot', null, 'thingId', thing,
      'code', null, 'toId', place, 'sealUnbroken', false)
    from (
      select row_number() over (order by t.name) as n, t.id as thing,
        ('01940000-0000-7000-8000-' || lpad(row_number() over (order by t.name)::text, 12, '0'))::uuid as id,
        case when row_number() over (order by t.name) <= ${aboard}
          then (select id from place where kind = 'compartment' order by name offset (length(t.name) % 8) limit 1)
          else ${store}::uuid end as place
      from thing t where t.id <> ${vehicle}) line`;
  await sql`
    insert into position (thing_id, place_id, at, movement_id) select thing_id, to_id, at, id from movement`;
  await sql`
    insert into code (id, code, kind, thing_id, since)
    select gen_random_uuid(), 'REED-' || lpad((device_no - 1)::text, 5, '0'), 'foreign', thing_id, ${at} from movement`;
  await sql.end();
}

/** Runs `work` on a page that has its catalogue and an open count of so many lines, and ends everything again. */
export async function withPhone(
  work: (page: Page) => Promise<void>,
  watch: (page: Page) => void = () => {},
  aboard = ABOARD,
): Promise<void> {
  const server = await startBenchServer();
  const url = await server.makeDatabase();
  await enterOutfit(url, aboard);
  const service = await startService(url);
  const opened = await openBrowser({ context: PHONE });
  try {
    watch(opened.page);
    await opened.page.goto(`${service.url}/scan/`);
    await opened.page.getByRole('button', { name: /^New stop here/ }).tap({ timeout: 60_000 });
    await opened.page.getByRole('button', { name: /^Back aboard/ }).tap();
    await opened.page.getByRole('heading', { level: 1, name: `${aboard} open` }).waitFor();
    await work(opened.page);
  } finally {
    await opened.close();
    await service.stop();
    await server.stop();
  }
}
