// The other ways of an evening on the page: turned round, a case drawer by drawer, a seal, counted gear by number, undo,
// a thing found later beside the closed text.
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { makePhone, newId } from '../api/lines.ts';
import { axe, openBrowser } from './browser.ts';
import {
  buildPhonePage,
  itemFacts,
  nameOutfit,
  type PhoneService,
  placeFacts,
  startPhoneService,
} from './phone-service.ts';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' };

let built: Awaited<ReturnType<typeof buildPhonePage>>;

beforeAll(async () => {
  built = await buildPhonePage();
});
afterAll(() => built.remove());

const tap = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().tap();
const untilHeading = (page: Page, name: string | RegExp) =>
  page.getByRole('heading', { name }).first().waitFor();
const untilDone = (page: Page, words: string | RegExp) => page.locator('.bottom').getByText(words).waitFor();

async function type(page: Page, code: string): Promise<void> {
  await page.getByLabel('Type a code').fill(code);
  await tap(page, 'Enter');
}

/** A truck with a drawer of three coded things, clamps, and a case with two lenses in it. */
async function withTruck(look: (page: Page, service: PhoneService) => Promise<void>): Promise<void> {
  const service = await startPhoneService(built.folder);
  service.setDaysAgo(2);
  await nameOutfit(service);
  const store = await service.make('/api/places', placeFacts('store', 'Boathouse'));
  const truck = await service.make('/api/items', itemFacts('Bittern', store, { vehicle: true }));
  const drawer = await service.make(
    '/api/places',
    placeFacts('compartment', 'Left drawer', { parentId: truck }),
  );
  const put = async (name: string, placeId: string, code: string, more = {}) => {
    const id = await service.make('/api/items', itemFacts(name, placeId, more));
    const tied = await service.ask('PUT', `/api/codes/${code}`, { thingId: id });
    expect([200, 201], tied.text).toContain(tied.status);
    return id;
  };
  for (const name of ['Boom', 'Slider', 'Mixer']) await put(name, drawer, name.toUpperCase());
  const lensCase = await put('Lens case', drawer, 'CASE', { container: true });
  for (const name of ['Wide lens', 'Macro lens']) await service.make('/api/items', itemFacts(name, lensCase));
  await service.make('/api/counted-gear', { ...itemFacts('Clamps', drawer), number: 6 });
  service.setDaysAgo(0);
  const opened = await openBrowser({ context: PHONE });
  await opened.page.goto(`${service.origin}/scan/`);
  await tap(opened.page, /^New stop here/);
  await look(opened.page, service);
  await opened.close();
  await service.stop();
}

test('three that are in already ask whether to turn round, and turned they are back aboard', async () => {
  await withTruck(async (page) => {
    await tap(page, /^Back aboard/);
    await untilHeading(page, /7 open/);
    await tap(page, 'Going in');
    for (const code of ['BOOM', 'SLIDER', 'MIXER']) {
      await type(page, code);
      await untilDone(page, /: gone in/);
      await page.getByText('Gone in').first().waitFor();
    }
    for (const code of ['BOOM', 'SLIDER', 'MIXER']) {
      await type(page, code);
      await page
        .locator('.answer')
        .getByText(code === 'BOOM' ? 'Boom' : code === 'SLIDER' ? 'Slider' : 'Mixer')
        .waitFor();
      await untilDone(page, /: already in/);
    }
    await tap(page, 'Turn these three round');
    await untilHeading(page, /4 open/);
    await untilDone(page, 'Turned round: back aboard.');
    await page.getByText(/^Answered: 3$/).tap();
    const answered = await page
      .getByRole('list', { name: 'Answered' })
      .getByRole('listitem')
      .allTextContents();
    expect(answered.map((line) => line.replace(/ .*/, '')).sort()).toEqual(['Boom', 'Mixer', 'Slider']);
  });
});

test('a case is moved, then asked for its contents; sealed and unbroken it answers for them itself', async () => {
  await withTruck(async (page) => {
    await tap(page, /^Back aboard/);
    await untilHeading(page, /7 open/);
    await type(page, 'CASE');
    await untilHeading(page, /^Lens case what is inside/);
    expect(await axe(page, { enhancedContrast: true })).toEqual([]);
    await tap(page, /^All of these are here \(2\)/);
    await untilHeading(page, /4 open/);

    // Taken back one by one, the case is asked for again, this time sealed.
    await tap(page, 'What was said');
    await tap(page, /^Undo: Macro lens/);
    await tap(page, /^Undo: Wide lens/);
    await tap(page, 'Back');
    await untilHeading(page, /6 open/);
    await type(page, 'SLIDER');
    await type(page, 'CASE');
    await page.locator('.answer').getByText('Already aboard').waitFor();
    await tap(page, 'What was said');
    await tap(page, /^Undo: Lens case/);
    await tap(page, /^Undo: Lens case/);
    await tap(page, 'Back');
    await type(page, 'CASE');
    await untilHeading(page, /^Lens case what is inside/);
    await page.getByText('Seal it').tap();
    await page.getByLabel(/^Number on the tie/).fill('0417');
    await tap(page, 'It is sealed with this inside');
    await page.getByText('Lens case is sealed, 0417').waitFor();
    await tap(page, 'Seal unbroken');
    await untilHeading(page, /3 open/);
    await page.getByText(/^Answered: /).tap();
    await page.getByRole('list', { name: 'Answered' }).getByText('sealed, unbroken').first().waitFor();
  });
});

test('counted gear by number: fewer than expected stays open until somebody says where the rest is', async () => {
  await withTruck(async (page) => {
    await tap(page, /^Back aboard/);
    await tap(page, /^6 × Clamps/);
    await page.getByText('Another number').tap();
    await tap(page, 'One fewer');
    await tap(page, 'One fewer');
    await tap(page, '4 of 6 are here');
    await untilHeading(page, /7 open/);
    await page.getByText('4 of 6 here').waitFor();
    await tap(page, /^6 × Clamps/);
    await tap(page, '2 not found yet');
    await untilHeading(page, /6 open/);

    await tap(page, 'Undo');
    await untilHeading(page, /7 open/);
    await tap(page, /^6 × Clamps/);
    await tap(page, 'All 6 are here');
    await untilHeading(page, /6 open/);
    await tap(page, /^Left drawer/);
    await tap(page, /^All of these are here/);
    await page.getByRole('button', { name: 'Everything is aboard: close' }).tap();
    await tap(page, 'Looked everywhere: close');
    await untilHeading(page, 'As closed');
    await page.getByText('All aboard.').waitFor();
  });
});

test('what is found after closing stands beside the closed text, not in it', async () => {
  await withTruck(async (page, service) => {
    await tap(page, /^Back aboard/);
    await tap(page, /^Boom/);
    await tap(page, 'Not found yet');
    await tap(page, /^Left drawer/);
    await tap(page, /^All of these are here/);
    await tap(page, 'Close the count');
    await tap(page, /close with 1 not found yet$/);
    await untilHeading(page, 'As known now the same');
    await tap(page, 'Still out there');
    await tap(page, /^Boom/);
    await tap(page, 'It is aboard');
    await untilDone(page, /^Boom: aboard/);
    await tap(page, 'Back');
    await page.getByText('Nothing is out there.').waitFor();
    await tap(page, 'Back');
    await untilHeading(page, 'As known now 1 changed');
    await page.getByText('Closed with 1 not found yet.').waitFor();
    expect(await page.getByRole('list', { name: 'Changed since' }).textContent()).toMatch(/^Boom/);
    await expect
      .poll(async () => (await service.ask('GET', '/api/still-out')).body.lines, { timeout: 15_000 })
      .toEqual([]);
  });
});

test('what went into the hotel last night is asked for in the morning, and its count is the same count', async () => {
  await withTruck(async (page, service) => {
    const evening = Date.now() - 20 * 3_600_000;
    const stopId = newId(evening);
    const placeId = newId(evening);
    const made = await service.ask('PUT', `/api/stops/${stopId}`, {
      ...{
        id: stopId,
        jobId: null,
        name: 'Ferry House',
        kind: 'hotel',
        zone: 'Europe/Lisbon',
        startsAt: evening,
      },
      ...{ unnamed: false, place: { id: placeId, name: 'Ferry House', isNew: true } },
    });
    expect(made.status, made.text).toBe(201);
    const found = await service.ask('GET', '/api/codes/MIXER');
    const things = found.text.match(/"thingId":"([0-9a-f-]+)"/);
    const phone = makePhone();
    const line = phone.move(evening + 60_000, things?.[1] ?? null, placeId, { stopId });
    const sent = await service.ask('POST', '/api/movements', { clocks: phone.clocks, movements: [line] });
    expect(sent.text).toContain('recorded');
    await page.reload();
    await tap(page, /^Back/);
    await page.getByRole('button', { name: /^Ferry House/ }).waitFor();
    await tap(page, /^Ferry House/);
    await tap(page, /^Back aboard/);
    // It is a line like any other, and says where to look.
    const mixer = page.getByRole('button', { name: /^Mixer.*in the room overnight/ });
    await mixer.waitFor();
    await expect
      .poll(async () => (await service.ask('GET', `/api/counts/${stopId}/1`)).text, { timeout: 15_000 })
      .toMatch(/"name":"Mixer".*"roomId":"/);
    await type(page, 'MIXER');
    await page.locator('.answer').getByText('Aboard').waitFor();
    await mixer.waitFor({ state: 'detached' });
  });
});
