// The phone and the service when things go wrong between them: a refused line, a row that no longer reads, a database that was
// restored, two tabs, a service without an outfit.
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { axe, openBrowser, type TestBrowser } from './browser.ts';
import {
  buildPhonePage,
  itemFacts,
  nameOutfit,
  type PhoneService,
  placeFacts,
  startPhoneService,
} from './phone-service.ts';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' };
// The browser's own line about an answer of 4xx, which these tests provoke.
const REFUSED = /status of (404|409|410|412)/;

let built: Awaited<ReturnType<typeof buildPhonePage>>;
beforeAll(async () => {
  built = await buildPhonePage();
});
afterAll(() => built.remove());

const tap = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().tap();
const untilHeading = (page: Page, name: string | RegExp) =>
  page.getByRole('heading', { name }).first().waitFor();
const untilSync = (page: Page, words: RegExp) =>
  expect.poll(() => page.locator('.sync-line').textContent(), { timeout: 20_000 }).toMatch(words);

type Store = 'head' | 'outbox' | 'kept' | 'drawer';

/** Reads all of one store of the phone's database, or writes one row into it, behind the page's back. */
function inStore(
  page: Page,
  store: Store,
  put?: { readonly key: string | number; readonly value: unknown },
): Promise<unknown[]> {
  return page.evaluate(
    ({ store, put }) =>
      new Promise<unknown[]>((resolve, reject) => {
        const open = indexedDB.open('tailcount');
        open.onerror = () => reject(open.error);
        open.onsuccess = () => {
          const tx = open.result.transaction(store, 'readwrite');
          if (put) tx.objectStore(store).put(put.value, put.key);
          const all = tx.objectStore(store).getAll();
          tx.oncomplete = () => {
            open.result.close();
            resolve(all.result);
          };
        };
      }),
    { store, put },
  );
}

async function withLens(
  look: (page: Page, service: PhoneService, opened: TestBrowser) => Promise<void>,
): Promise<void> {
  const service = await startPhoneService(built.folder);
  service.setDaysAgo(2);
  await nameOutfit(service);
  const store = await service.make('/api/places', placeFacts('store', 'Boathouse'));
  const truck = await service.make('/api/items', itemFacts('Bittern', store, { vehicle: true }));
  const drawer = await service.make(
    '/api/places',
    placeFacts('compartment', 'Left drawer', { parentId: truck }),
  );
  const lens = await service.make('/api/items', itemFacts('Long lens', drawer));
  const tied = await service.ask('PUT', '/api/codes/LENS-1', { thingId: lens });
  expect([200, 201], tied.text).toContain(tied.status);
  service.setDaysAgo(0);
  const opened = await openBrowser({ context: PHONE, expected: [REFUSED] });
  await opened.page.goto(`${service.origin}/scan/`);
  await untilHeading(opened.page, 'Reed and Tide');
  await look(opened.page, service, opened);
  await opened.close();
  await service.stop();
}

async function scanIn(page: Page): Promise<void> {
  await page.getByLabel('Type a code').fill('LENS-1');
  await tap(page, 'Enter');
  await page
    .locator('.bottom')
    .getByText(/^Long lens: /)
    .waitFor();
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;
const recordOf = (value: unknown): Record<string, unknown> => (isRecord(value) ? value : {});

test('a line that the service refuses, and a row that no longer reads, lie in the drawer and hold nothing up', async () => {
  await withLens(async (page, service) => {
    await tap(page, /^New stop here/);
    await tap(page, /^Going in/);
    await scanIn(page);
    await untilSync(page, /all with the service/);
    const [kept] = await inStore(page, 'kept');
    const line = recordOf(recordOf(kept).line);
    // The same id with other content, as a phone restored from a copy would have it; and a row of some other page.
    await inStore(page, 'outbox', {
      key: 7,
      value: { deviceNo: 7, line: { ...line, note: 'other words' }, at: 1 },
    });
    await inStore(page, 'outbox', { key: 8, value: { deviceNo: 8, line: { kind: 'teleport' }, at: 1 } });
    await page.reload();
    await untilSync(page, /2 in the drawer/);
    await tap(page, /^Phone and service/);
    await tap(page, 'The drawer: 2');
    const rows = page.getByRole('list', { name: 'In the drawer' }).getByRole('listitem');
    await expect
      .poll(async () => (await rows.allTextContents()).sort())
      .toEqual([
        expect.stringMatching(/^A line ./),
        expect.stringMatching(/^A row of this phone No longer readable/),
      ]);
    const ledger = await service.ask('GET', '/api/movements?limit=100');
    expect(ledger.text).not.toContain('other words');
    expect(await inStore(page, 'outbox')).toEqual([]);

    await tap(page, 'Empty the drawer');
    await tap(page, 'Empty it for good');
    await page.getByText('The drawer is empty.').waitFor();
  });
});

test('a cursor that the service does not know brings a new catalogue, and own lines are sent once more', async () => {
  await withLens(async (page, service) => {
    await tap(page, /^New stop here/);
    await tap(page, /^Going in/);
    await scanIn(page);
    await untilSync(page, /all with the service/);
    const heads = await inStore(page, 'head');
    const head = recordOf(heads.find((row) => 'cursor' in recordOf(row)));
    const cursor = { ...recordOf(head.cursor), token: '0b1c7a52-3c55-4f4f-9d55-2f5a3a4f0009' };
    await inStore(page, 'head', { key: 'catalogue', value: { ...head, cursor } });
    const asked: string[] = [];
    page.on('request', (request) => asked.push(`${request.method()} ${new URL(request.url()).pathname}`));
    await page.reload();
    await expect.poll(() => asked.includes('POST /api/movements'), { timeout: 20_000 }).toBe(true);
    expect(asked).toContain('GET /api/catalogue');
    await untilSync(page, /all with the service/);
    const ledger = await service.ask('GET', '/api/movements?limit=100');
    const lines = Array.isArray(ledger.body.movements) ? ledger.body.movements : [];
    expect(lines.filter(({ line }) => line.why === 'load-in')).toHaveLength(1);
    expect(await page.getByRole('list', { name: 'Gone in' }).textContent()).toContain('Long lens');
  });
});

test('two tabs show one count, give each line its own number, and one of them talks to the service', async () => {
  await withLens(async (page, service, opened) => {
    await tap(page, /^New stop here/);
    await tap(page, /^Back aboard/);
    await untilHeading(page, /1 open/);
    const other = await opened.openPage();
    await other.goto(`${service.origin}/scan/`);
    await untilHeading(other, /1 open/);
    await scanIn(other);
    await untilHeading(other, /0 open/);
    await untilHeading(page, /0 open/);
    await tap(page, 'What was said');
    await tap(page, /^Undo: Long lens/);
    await untilHeading(other, /1 open/);
    // The first tab goes; the other takes over what it did.
    await page.close();
    await scanIn(other);
    const own = async () => {
      const ledger = await service.ask('GET', '/api/movements?limit=100');
      const lines = Array.isArray(ledger.body.movements) ? ledger.body.movements : [];
      return lines.filter(({ line }) => line.stopId !== null).map(({ line }) => line);
    };
    const numbers = async () => (await own()).map(({ deviceNo }) => deviceNo).sort();
    await expect.poll(numbers, { timeout: 20_000 }).toEqual([1, 2, 3, 4]);
    await untilSync(other, /all with the service/);
    expect(new Set((await own()).map(({ deviceId }) => deviceId)).size).toBe(1);
  });
});

test('a stop is named later, also with no network, and the name arrives', async () => {
  await withLens(async (page, service, { context }) => {
    await context.setOffline(true);
    await tap(page, /^New stop here/);
    await page.getByText('Name this stop').tap();
    await page.getByLabel('Name of the stop').fill('Reedbed hide');
    await tap(page, 'Keep the name');
    await untilHeading(page, 'Reedbed hide');
    await context.setOffline(false);
    await untilSync(page, /all with the service/);
    const stops = await service.ask('GET', '/api/stops');
    expect(stops.body.stops).toEqual([expect.objectContaining({ name: 'Reedbed hide', unnamed: false })]);
    await untilHeading(page, 'Reedbed hide');
  });
});

test('before there is an outfit the page says so, and goes on by itself once there is one', async () => {
  const service = await startPhoneService(built.folder);
  const opened = await openBrowser({ context: PHONE, expected: [REFUSED] });
  await opened.page.goto(`${service.origin}/scan/`);
  await opened.page.getByText('There is no outfit yet.').waitFor();
  expect(await axe(opened.page, { enhancedContrast: true })).toEqual([]);
  await nameOutfit(service);
  await untilHeading(opened.page, 'Reed and Tide');
  await tap(opened.page, /^New stop here/);
  await opened.page.getByText(/^No vehicle is entered yet/).waitFor();
  await opened.close();
  await service.stop();
});

test('a count from before the book of this phone is not shown, and said so; the catalogue read again brings it', async () => {
  await withLens(async (page) => {
    await tap(page, /^New stop here/);
    await tap(page, /^Back aboard/);
    await untilHeading(page, /1 open/);
    await untilSync(page, /all with the service/);
    const head = (await inStore(page, 'head')).map(recordOf).find((row) => 'cursor' in row);
    await inStore(page, 'head', { key: 'catalogue', value: { ...head, since: Date.now() } });
    await page.reload();
    await page.getByText('This phone can’t show this count.').waitFor();
    expect(await page.getByRole('button', { name: /^All of these are here/ }).count()).toBe(0);
    expect(await page.getByRole('link', { name: 'Look at it on the desk' }).getAttribute('href')).toMatch(
      /^\/counts\/[0-9a-f-]{36}\/1$/,
    );
    expect(await axe(page, { enhancedContrast: true })).toEqual([]);
    await tap(page, /^Stops/);
    await page.getByRole('button', { name: /too long ago/ }).tap();
    await page.context().setOffline(true);
    await tap(page, 'Read the catalogue again');
    await page.getByText(/The service does not answer just now/).waitFor();
    await page.context().setOffline(false);
    await untilHeading(page, /1 open/);
  });
});
