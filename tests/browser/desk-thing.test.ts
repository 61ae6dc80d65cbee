// The page of one thing in a real browser: made, edited by two people at once, given a picture, counted, marked faulty,
// written off, and merged with its double.
import { randomUUID } from 'node:crypto';
import { Resvg } from '@resvg/resvg-js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { PLAIN_FACTS } from '#domain/thing.ts';
import { makePhone, send } from '../api/lines.ts';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

const OUTFIT = {
  ...{ name: 'Two in the reeds', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric', yearEnd: '12-31' },
  ...{ mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] },
};
const LAMP =
  '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="30"><circle cx="20" cy="15" r="9"/></svg>';

describe('the page of a thing', () => {
  let desk: Desk;
  const place: Record<string, string> = {};
  beforeAll(async () => {
    // What is provoked on purpose: an edit that came too late, facts that are refused, a thing that nobody knows.
    desk = await openDesk([/status of 4(04|12|22)/]);
    expect((await desk.ask('PUT', '/api/outfit', { body: OUTFIT })).status).toBe(201);
    for (const name of ['Boathouse', 'Boat']) {
      const facts = { kind: 'store', name, parentId: null, sort: 0, zone: null, address: null, note: null };
      place[name] = String((await desk.ask('POST', '/api/places', { body: facts })).body.id);
    }
  });
  afterAll(async () => {
    await desk.close();
  });

  const make = async (path: string, name: string, more = {}): Promise<string> => {
    const reply = await desk.ask('POST', path, { body: { ...PLAIN_FACTS, name, ...more } });
    expect(reply.status, reply.text).toBe(201);
    return String(reply.body.id);
  };
  const open = async (id: string, query = ''): Promise<void> => {
    await desk.page.goto(`${desk.origin}/things/${id}${query}`);
    await desk.page.getByRole('heading', { level: 1 }).waitFor();
  };
  const edit = async (id: string, change: Record<string, unknown>): Promise<void> => {
    const { body } = await desk.ask('GET', `/api/things/${id}`);
    const facts = Object.fromEntries(Object.keys(PLAIN_FACTS).map((key) => [key, body[key]]));
    const headers = { 'if-match': `"${String(body.version)}"` };
    const reply = await desk.ask('PUT', `/api/items/${id}`, { body: { ...facts, ...change }, headers });
    expect(reply.status, reply.text).toBe(200);
  };

  it('is made in one short form, by keyboard, and says where it is', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/things/new`);
    await page.getByRole('heading', { name: 'New thing' }).waitFor();
    await assertNothingFound(page, 'the form for a new thing');
    await page.getByRole('button', { name: 'Write it down', exact: true }).click();
    await page.getByText('Give it a name.').waitFor();
    await page.getByLabel('Name').focus();
    await page.keyboard.type('Marsh lamp');
    await page.getByRole('combobox', { name: 'Place' }).selectOption({ label: 'Boathouse' });
    await page.getByLabel('Name').focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Marsh lamp', level: 1 }).waitFor();
    await page
      .getByRole('region', { name: 'Where it is now' })
      .getByRole('link', { name: 'Boathouse' })
      .waitFor();
  });

  it('shows both versions when somebody else was faster, and loses nothing that was typed', async () => {
    const { page } = desk;
    const id = await make('/api/items', 'Reed lens', { maker: 'Heron Optics', weightGrams: 900 });
    await open(id);
    await page.getByRole('button', { name: 'Edit facts' }).click();
    await page.getByLabel('Model').fill('H50');
    await page.getByLabel('Price').fill('1.250,50');
    await page.getByLabel('Currency').fill('eur');
    await page.getByLabel('Weight in grams').fill('950');
    // Meanwhile, at another desk: one fact that nobody here touched, and one that was changed here as well.
    await edit(id, { serial: 'RL-7', weightGrams: 970 });
    await page.getByText('Somebody changed this thing since you began.').waitFor();
    await page.reload();
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('heading', { name: 'Somebody else changed it meanwhile' }).waitFor();
    await assertNothingFound(page, 'two versions side by side');
    const table = page.getByRole('region', { name: 'Two versions, fact by fact' });
    expect(await table.getByRole('rowheader').allTextContents()).toEqual([
      ...['Model', 'Serial number', 'Price', 'Currency', 'Weight in grams'],
    ]);
    const save = page.getByRole('button', { name: 'Save what is chosen' });
    expect(await save.isDisabled()).toBe(true);
    await table.getByRole('radio', { name: /^Weight in grams: 950/ }).check();
    await save.click();
    await page.getByRole('region', { name: 'Facts' }).getByText('H50').waitFor();
    expect((await desk.ask('GET', `/api/things/${id}`)).body).toMatchObject({
      ...{ model: 'H50', serial: 'RL-7', weightGrams: 950, maker: 'Heron Optics' },
      ...{ purchaseMinor: 125_050, purchaseCurrency: 'EUR', version: 3 },
    });
  });

  it('says beside a field what is wrong with it', async () => {
    const { page } = desk;
    await open(await make('/api/items', 'Sluice bag'), '?edit=1');
    await page.getByLabel('Weight in grams').fill('heavy');
    await page.getByLabel('Name').fill('');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('Write a number, such as 12 or 12.5.').waitFor();
    await assertNothingFound(page, 'the form with a mistake');
    await page.getByLabel('Weight in grams').fill('');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByText('A thing needs a name.').waitFor();
    await page.getByRole('button', { name: 'Let go of the changes' }).click();
    await page.getByRole('heading', { name: 'Sluice bag', level: 1 }).waitFor();
  });

  it('keeps a picture, takes it away and puts it back', async () => {
    const { page } = desk;
    const id = await make('/api/items', 'Hide lamp');
    await open(id);
    const buffer = Buffer.from(new Resvg(LAMP).render().asPng());
    await page.getByLabel('Add pictures').setInputFiles({ name: 'lamp.png', mimeType: 'image/png', buffer });
    const pictures = page.getByRole('list', { name: 'Pictures' }).getByRole('img');
    await pictures.first().waitFor();
    await assertNothingFound(page, 'a thing with a picture');
    await page.getByRole('button', { name: 'Take away' }).click();
    await expect.poll(() => pictures.count()).toBe(0);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => pictures.count()).toBe(1);
  });

  it('is marked faulty, found in order, written off and taken back', async () => {
    const { page } = desk;
    await open(await make('/api/items', 'Jetty light'));
    await page.getByRole('button', { name: 'Faulty' }).click();
    await page.getByLabel('In a few words').fill('flickers when cold');
    await page.getByRole('button', { name: 'Mark it faulty' }).click();
    await page.getByRole('note').getByText('flickers when cold').waitFor();
    await page.getByRole('button', { name: 'It is in order again' }).click();
    await expect.poll(() => page.getByRole('note').count()).toBe(0);
    await page.getByRole('button', { name: 'Write off' }).click();
    await page.getByLabel('Reason').selectOption('stolen');
    await page.getByRole('button', { name: 'Write it off' }).click();
    await page.getByRole('note').getByText('stolen').waitFor();
    await assertNothingFound(page, 'a thing that was written off');
    await page.getByRole('button', { name: 'Take it back' }).click();
    await page.getByRole('button', { name: 'Write off' }).waitFor();
  });

  it('of counted gear is counted by hand where it is and at another place', async () => {
    const { page } = desk;
    const id = await make('/api/counted-gear', 'Clamp', { placeId: place.Boathouse, number: 12 });
    await open(id);
    const table = page.getByRole('region', { name: 'Where they are now' }).getByRole('table');
    await table.getByRole('button', { name: 'Count again' }).click();
    await page.keyboard.type('11');
    await page.keyboard.press('Enter');
    await page.getByText('11 counted: Boathouse.').waitFor();
    await page.getByRole('combobox', { name: 'Counted at' }).selectOption({ label: 'Boat' });
    await page.getByRole('textbox', { name: 'How many' }).fill('4');
    await page.getByRole('button', { name: 'Write it down' }).click();
    await table.getByRole('row', { name: /All together 15/ }).waitFor();
    await assertNothingFound(page, 'counted gear');
  });

  it('says what it costs new, in the way in which people here write amounts', async () => {
    const { page } = desk;
    await open(await make('/api/items', 'Reed drum'));
    await page.getByText('Add a price').click();
    await page.getByLabel('Amount').fill('1,250.5');
    await page.getByLabel('Where the price is from').fill('offer of the maker');
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByRole('cell', { name: '€1,250.50' }).waitFor();
  });

  it('becomes one with its double, and two again', async () => {
    const { page } = desk;
    const kept = await make('/api/items', 'Twin charger', { placeId: place.Boathouse });
    const gone = await make('/api/items', 'Charger, double', { placeId: place.Boathouse, serial: 'SP-9' });
    const code = `SEDGE-${randomUUID()}`;
    await desk.ask('PUT', `/api/codes/${code}`, { body: { thingId: gone } });
    const phone = makePhone();
    await send(
      desk,
      [phone.move(Date.now(), gone, place.Boat ?? '', { spot: 'under the seat' })],
      phone.clocks,
    );
    await open(gone);
    await page.getByRole('link', { name: 'Same as another' }).click();
    await page.getByLabel('The other entry').fill('twin char');
    await page.getByRole('button', { name: /^Twin charger/ }).click();
    await page.getByRole('heading', { name: /Facts that differ/ }).waitFor();
    await assertNothingFound(page, 'two entries to be made one');
    await page.getByRole('button', { name: 'Make them one' }).click();
    await page.getByRole('heading', { name: 'Twin charger', level: 1 }).waitFor();
    const where = page.getByRole('region', { name: 'Where it is now' });
    await where.getByText('under the seat').waitFor();
    const facts = page.getByRole('region', { name: 'Facts' });
    await page.getByRole('region', { name: 'Codes' }).getByText(code).waitFor();
    await facts.getByText('SP-9').waitFor();
    await page.getByRole('link', { name: 'Charger, double' }).click();
    await page.getByText('It turned out to be the same as').waitFor();
    await assertNothingFound(page, 'an entry that was merged');
    await page.getByRole('button', { name: 'They are two after all' }).click();
    await where.getByText('under the seat').waitFor();
    expect((await desk.ask('GET', `/api/things/${kept}`)).body).toMatchObject({ codes: [] });
  });

  it('gets a tag by typing it; a mistyped one is caught, and one of another thing is only taken when told', async () => {
    const { page } = desk;
    const made = await desk.ask('POST', '/api/tags', { body: { blockId: randomUUID(), number: 2 } });
    const tags = z.array(z.object({ code: z.string(), shown: z.string() })).parse(made.body.tags);
    const [first, second] = [tags[0]?.shown ?? '', tags[1]?.code ?? ''];
    const other = await make('/api/items', 'Other lamp');
    await desk.ask('PUT', `/api/codes/${second}`, { body: { thingId: other } });
    await open(await make('/api/items', 'Tagged lamp'));
    const codes = page.getByRole('region', { name: 'Codes' });
    const field = codes.getByLabel('Put a tag or a code on it');
    // One character of the label read as another one.
    const at = 5;
    const wrong = first.slice(0, at) + (first.charAt(at) === 'A' ? 'B' : 'A') + first.slice(at + 1);
    await field.fill(wrong);
    await page.keyboard.press('Enter');
    await codes.getByText('This tag has a mistake in it.').waitFor();
    await assertNothingFound(page, 'a mistyped tag');
    await codes.getByRole('button', { name: first }).click();
    await codes.getByRole('listitem').getByText(first).waitFor();
    await field.fill(second);
    await page.keyboard.press('Enter');
    await codes.getByText('is on Other lamp now.').waitFor();
    await codes.getByRole('button', { name: 'Take it from there' }).click();
    await expect.poll(() => codes.getByRole('listitem').count()).toBe(2);
    await codes.getByRole('button', { name: `Take off ${first}` }).click();
    await expect.poll(() => codes.getByRole('listitem').count()).toBe(1);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => codes.getByRole('listitem').count()).toBe(2);
  });

  it('tells the time at the stop and at home, and links to the count that it was answered in', async () => {
    const { page } = desk;
    const id = await make('/api/items', 'Far lamp');
    const stopId = randomUUID();
    const at = Date.now() - 60_000;
    const stop = {
      jobId: null,
      name: 'Far shore',
      kind: 'location',
      zone: 'Asia/Kathmandu',
      startsAt: at,
      unnamed: false,
    };
    const body = { id: stopId, ...stop, place: { id: randomUUID(), name: 'Far shore', isNew: true } };
    expect((await desk.ask('PUT', `/api/stops/${stopId}`, { body })).status).toBe(201);
    const phone = makePhone();
    const scan = phone.move(at, id, place.Boat ?? '', { stopId, round: 1, why: 'wrap' });
    const line = { thingId: id, placeId: null, name: 'Far lamp', expected: 1, found: 1, said: 'scanned' };
    const close = phone.line(at + 1, {
      ...{ kind: 'close', stopId, round: 1 },
      lines: [{ ...line, lineId: scan.id, lastPlaceId: null, spot: null }],
      sums: { expected: 1, aboard: 1, notFound: 0, away: 0, compartments: 0, notOpened: 0 },
    });
    await send(desk, [scan, close], phone.clocks);
    await open(id);
    const clock = (timeZone: string) =>
      new Intl.DateTimeFormat('en-GB', { timeStyle: 'short', timeZone }).format(at);
    const lines = page.getByRole('region', { name: 'History' }).getByRole('listitem');
    await lines
      .filter({ hasText: clock('Asia/Kathmandu') })
      .getByText(/at home/)
      .first()
      .waitFor();
    expect(await lines.first().textContent()).toContain(clock('Europe/Lisbon'));
    const checks = page.getByRole('region', { name: 'At the last wraps' });
    const row = checks.getByRole('row', { name: /Far shore/ });
    expect(await row.getByRole('link').getAttribute('href')).toBe(`/counts/${stopId}/1`);
    expect(await row.textContent()).toContain('scanned');
  });

  it('that nobody knows is said to be unknown', async () => {
    await desk.page.goto(`${desk.origin}/things/${randomUUID()}`);
    await desk.page.getByText('There is no such record.').waitFor();
  });
});
