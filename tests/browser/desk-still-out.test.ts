// What is still out there and what is to be looked at, in a real browser: by keys and by buttons, with undo, and on paper.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { outLineSchema } from '#domain/out-line.ts';
import { plainFacts } from '../api/facts.ts';
import { makePhone, newId, send } from '../api/lines.ts';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

const HOUR = 3_600_000;

describe('still out there, and to look at', () => {
  let desk: Desk;
  const ids: Record<string, string> = {};
  const phone = makePhone();
  const now = Date.now();

  async function make(path: string, facts: object): Promise<string> {
    const reply = await desk.ask('POST', path, { body: facts });
    expect(reply.status, reply.text).toBe(201);
    return String(reply.body.id);
  }
  const place = (kind: string, name: string, parentId: string | null = null) =>
    make('/api/places', { kind, name, parentId, sort: 0, zone: null, address: null, note: null });
  const absence = (at: number, thingId: string, more: object = {}) => {
    const finding = { finding: 'not-found', toId: null, number: null, shownId: null };
    return phone.line(at, { kind: 'absence', thingId, ...finding, ...more });
  };
  const outNames = async () =>
    outLineSchema
      .array()
      .parse((await desk.ask('GET', '/api/still-out')).body.lines)
      .map(({ name, number }) => `${number} ${name}`)
      .sort();
  const row = (name: string) => desk.page.getByRole('row').filter({ hasText: name });

  beforeAll(async () => {
    desk = await openDesk();
    const outfit = { name: 'Two in the reeds', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric' };
    const rest = { yearEnd: '12-31', mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] };
    await desk.ask('PUT', '/api/outfit', { body: { ...outfit, ...rest } });
    ids.shelf = await place('store', 'Boathouse shelf');
    ids.hide = await place('location', 'Reedbed hide');
    const party = {
      name: 'Ines, boat crew',
      role: 'crew',
      email: 'ines@reeds.example',
      phone: '+351 900 000 000',
    };
    ids.ines = await make('/api/parties', { ...party, contact: null, address: null, note: null });
  });
  afterAll(async () => {
    await desk.close();
  });

  it('says what would be here while nothing is', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/still-out`);
    await page.getByText('Nothing is out there.').waitFor();
    await assertNothingFound(page, 'still out there, empty');
    await page.goto(`${desk.origin}/to-look-at`);
    await page.getByText('Nothing waits for you.').waitFor();
    await assertNothingFound(page, 'to look at, empty');
  });

  it('shows lines in groups that the address keeps, with sums that paper does not have', async () => {
    const { page } = desk;
    const homes = [{ way: 'driving', placeId: ids.shelf, number: 1 }];
    ids.charger = await make('/api/items', { ...plainFacts, name: 'Twin charger', serial: 'SP-771', homes });
    ids.lens = await make('/api/items', { ...plainFacts, name: 'Long lens', homes });
    ids.clamps = await make('/api/counted-gear', { ...plainFacts, name: 'Clamp' });
    const price = { amountMinor: 18_900, currency: 'EUR', onDate: '2026-11-01', source: 'shop window' };
    await desk.ask('POST', `/api/things/${ids.charger}/values`, { body: price });
    const lines = [
      phone.move(now - 60 * HOUR, String(ids.charger), String(ids.hide), { spot: 'wall socket' }),
      absence(now - 59 * HOUR, String(ids.charger)),
      phone.move(now - 30 * HOUR, String(ids.lens), String(ids.ines), { why: 'lend', check: null }),
      phone.quantity(now - 29 * HOUR, String(ids.clamps), 6, null, String(ids.shelf)),
      absence(now - 2 * HOUR, String(ids.clamps), { toId: ids.shelf, number: 2 }),
    ];
    await send(desk, lines, phone.clocks);
    await page.goto(`${desk.origin}/still-out`);
    await row('Twin charger').getByText('wall socket').waitFor();
    await page.getByRole('heading', { name: /Not found yet 2 · €189.00, 1 without a value/ }).waitFor();
    await assertNothingFound(page, 'still out there');
    await page.setViewportSize({ width: 390, height: 844 });
    await assertNothingFound(page, 'still out there on a narrow screen');
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.getByRole('button', { name: 'By person' }).click();
    await page.getByRole('heading', { name: /With Ines, boat crew/ }).waitFor();
    expect(new URL(page.url()).searchParams.get('by')).toBe('person');
    await page.getByRole('button', { name: 'By place' }).click();
    await page.getByRole('heading', { name: /Reedbed hide/ }).waitFor();
    await page.goBack();
    await page.getByRole('heading', { name: /With Ines, boat crew/ }).waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await page.getByText('€189.00').first().isVisible()).toBe(false);
    expect(await page.getByText('Tick what is back.').isVisible()).toBe(true);
    await page.emulateMedia({ media: 'screen' });
  });

  it('finds by one key and takes it back', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/still-out`);
    const box = page.getByRole('checkbox', { name: 'Select Twin charger' });
    await box.focus();
    await page.keyboard.press('f');
    await page.getByRole('dialog', { name: 'Found: Twin charger' }).waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(() => box.evaluate((element) => element === document.activeElement)).toBe(true);
    await page.keyboard.press('f');
    const home = page.getByRole('button', { name: 'Back home: Boathouse shelf' });
    await home.waitFor();
    await assertNothingFound(page, 'found');
    await home.click();
    await page.getByText('Twin charger is back home.').waitFor();
    await expect.poll(outNames).toEqual(['1 Long lens', '2 Clamp']);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(outNames).toEqual(['1 Long lens', '1 Twin charger', '2 Clamp']);
    await row('Twin charger').waitFor();
  });

  it('counts missing pieces back in by number', async () => {
    const { page } = desk;
    await page.getByRole('button', { name: 'Found: Clamp' }).click();
    const number = page.getByLabel('How many are in Boathouse shelf now');
    expect(await number.inputValue()).toBe('6');
    await number.fill('5');
    await page.getByRole('button', { name: '5 are here' }).click();
    await expect.poll(outNames).toEqual(['1 Clamp', '1 Long lens', '1 Twin charger']);
  });

  it('asks whoever has it, and notes whom and when', async () => {
    const { page } = desk;
    await page.getByRole('checkbox', { name: 'Select Long lens' }).focus();
    await page.keyboard.press('a');
    await page.getByRole('link', { name: 'Write to ines@reeds.example' }).waitFor();
    expect(await page.getByLabel('The message').inputValue()).toContain('- Long lens: last put down');
    expect(await page.getByLabel('Who was asked').inputValue()).toBe('Ines, boat crew');
    await assertNothingFound(page, 'ask');
    await page.getByRole('button', { name: 'Note that it was asked' }).click();
    await row('Long lens')
      .getByText(/asked Ines, boat crew/)
      .waitFor();
  });

  it('writes several off at once with a reason, and takes that back', async () => {
    const { page } = desk;
    for (const name of ['Twin charger', 'Clamp']) {
      await page.getByRole('checkbox', { name: `Select ${name}` }).focus();
      await page.keyboard.press('x');
    }
    await page.getByText('2 selected').waitFor();
    await assertNothingFound(page, 'two lines selected');
    await page
      .getByRole('region', { name: 'What to do with the selected lines' })
      .getByText('Write off')
      .click();
    await page.getByRole('radio', { name: 'Lost' }).check();
    await assertNothingFound(page, 'write off');
    await page.getByRole('button', { name: 'Write off', exact: true }).last().click();
    await page.getByText('2 lines written off.').waitFor();
    await expect.poll(outNames).toEqual(['1 Long lens']);
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(outNames).toEqual(['1 Clamp', '1 Long lens', '1 Twin charger']);
  });

  it('shows what waits, and lets it in when the thing is made', async () => {
    const { page } = desk;
    const unknown = randomUUID();
    const [one, two] = [
      await make('/api/items', { ...plainFacts, name: 'Long case', container: true }),
      await make('/api/items', { ...plainFacts, name: 'Wide case', container: true }),
    ];
    const lines = [
      phone.move(now - HOUR, unknown, String(ids.shelf), { note: 'new filter' }),
      phone.move(now - HOUR, null, String(ids.shelf), { code: 'SHOP-4471' }),
      phone.move(now - HOUR, one, String(ids.shelf)),
      phone.move(now - HOUR + 1_000, two, one),
      phone.move(now - HOUR + 2_000, one, two),
      phone.line(now - HOUR + 3_000, { kind: 'void', voids: newId(), thingId: null }),
    ];
    await send(desk, lines, phone.clocks);
    await page.goto(`${desk.origin}/to-look-at`);
    const card = page.getByRole('listitem').filter({ hasText: '1 line for a thing not known here' });
    await card.getByText('new filter').waitFor();
    await assertNothingFound(page, 'to look at');
    await card.getByLabel('Name of the thing').fill('Polar filter');
    await card.getByRole('button', { name: 'Make the thing' }).click();
    await card.waitFor({ state: 'detached' });
    const { body } = await desk.ask('GET', `/api/things/${unknown}/history`);
    expect(Array.isArray(body.movements) ? body.movements.length : 0).toBe(1);
  });

  it('ties an unknown code to a thing that is found by typing', async () => {
    const { page } = desk;
    await page.getByLabel('Which thing has SHOP-4471').fill('charger');
    await page.getByRole('button', { name: 'Find it' }).click();
    await page.getByRole('button', { name: 'Tie it to Twin charger, SP-771' }).click();
    await page.getByRole('heading', { name: 'Codes that nobody knows' }).waitFor({ state: 'detached' });
  });

  it('ends a ring of cases by one line, and takes that back', async () => {
    const { page } = desk;
    await page.getByRole('button', { name: 'Long case is in Boathouse shelf' }).click();
    await page.getByRole('heading', { name: /Inside each other/ }).waitFor({ state: 'detached' });
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('heading', { name: /Inside each other/ }).waitFor();
  });

  it('puts aside what was looked at, and finds it again', async () => {
    const { page } = desk;
    const card = page.getByRole('listitem').filter({ hasText: 'takes back what has not arrived' });
    await card.getByRole('button', { name: 'Looked at, leave it as it is' }).click();
    await card.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: /^All/ }).click();
    await card.getByRole('button', { name: 'Open again' }).waitFor();
    await assertNothingFound(page, 'to look at, with what was looked at');
    await card.getByRole('button', { name: 'Open again' }).click();
    await card.getByRole('button', { name: 'Looked at, leave it as it is' }).waitFor();
  });

  it('gets what a phone cannot use, word for word', async () => {
    const { page, context } = desk;
    const scan = await context.newPage();
    await scan.goto(`${desk.origin}/scan/`);
    await scan.getByRole('heading').first().waitFor();
    await scan.evaluate(
      () =>
        new Promise<void>((resolve, reject) => {
          const opened = indexedDB.open('tailcount');
          opened.onerror = () => reject(opened.error);
          opened.onsuccess = () => {
            const tx = opened.result.transaction('outbox', 'readwrite');
            tx.objectStore('outbox').put({ deviceNo: 7, line: { kind: 'dance', note: 'Ü' }, at: 0 }, 7);
            tx.oncomplete = () => {
              opened.result.close();
              resolve();
            };
          };
        }),
    );
    await scan.reload();
    const leftovers = async () => {
      const { body } = await desk.ask('GET', '/api/leftovers');
      return Array.isArray(body.leftovers) ? body.leftovers : [];
    };
    await expect.poll(async () => (await leftovers()).length, { timeout: 20_000 }).toBe(1);
    const [{ id }] = await leftovers();
    const text = (await desk.ask('GET', `/api/leftovers/${id}/text`)).text;
    expect(JSON.parse(text)).toEqual({ deviceNo: 7, line: { kind: 'dance', note: 'Ü' }, at: 0 });
    await scan.close();
    await page.goto(`${desk.origin}/to-look-at`);
    await page.getByRole('link', { name: 'To look at 3 open' }).waitFor();
    await page.getByRole('link', { name: 'Save it as a file' }).waitFor();
    await assertNothingFound(page, 'a leftover');
  });
});
