// The job with no network, in a real browser with a camera that sees a real label: first visit, offline, going in, back
// aboard, one thing left, named, "not found yet", closed, online again; and that nothing is lost when the page dies.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openBrowser } from './browser.ts';
import { makeVideo } from './making-video.ts';
import {
  buildPhonePage,
  itemFacts,
  nameOutfit,
  type PhoneService,
  placeFacts,
  startPhoneService,
} from './phone-service.ts';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' };
// Its check characters are right; the service takes no other tag.
const TAG = 'TC7K3M0Q4X';

let built: Awaited<ReturnType<typeof buildPhonePage>>;
let folder: string;

beforeAll(async () => {
  built = await buildPhonePage();
  folder = mkdtempSync(join(tmpdir(), 'tailcount-offline-'));
});
afterAll(() => {
  built.remove();
  rmSync(folder, { recursive: true, force: true });
});

interface Made {
  readonly service: PhoneService;
  readonly tag: string;
  readonly charger: string;
}

/** A truck with one drawer: a tagged lens and a charger without a tag. */
async function makeTruck(): Promise<Made> {
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
  const charger = await service.make('/api/items', itemFacts('Twin charger', drawer));
  const tied = await service.ask('PUT', `/api/codes/${TAG}`, { thingId: lens });
  expect([200, 201], tied.text).toContain(tied.status);
  service.setDaysAgo(0);
  return { service, tag: TAG, charger };
}

const tap = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).first().tap();
const untilHeading = (page: Page, name: string | RegExp) =>
  page.getByRole('heading', { name }).first().waitFor();
const untilWord = (page: Page, word: string | RegExp) =>
  page.getByRole('region', { name: 'Answer to the scan' }).getByText(word).waitFor();
const untilSync = (page: Page, words: RegExp) =>
  expect.poll(() => page.locator('.sync-line').textContent(), { timeout: 20_000 }).toMatch(words);

/** The page and its files are kept on this phone, and the service worker answers for them. */
async function untilKept(page: Page): Promise<void> {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await expect.poll(() => page.evaluate(() => navigator.serviceWorker.controller !== null)).toBe(true);
}

test('first visit, offline, in, back by camera, one left, not found yet, closed, online: the service shows it', async () => {
  const { service, charger } = await makeTruck();
  const camera = makeVideo(join(folder, 'lens.y4m'), [{ kind: 'qrcode', text: TAG }]);
  const opened = await openBrowser({ camera, context: PHONE });
  const { page, context } = opened;
  await page.goto(`${service.origin}/scan/`);
  await untilHeading(page, 'Reed and Tide');
  await untilKept(page);
  await context.setOffline(true);
  await page.reload();
  await untilHeading(page, 'Reed and Tide');

  await tap(page, /^New stop here/);
  await tap(page, /^Going in/);
  await tap(page, 'Scan');
  await untilWord(page, 'Gone in');
  await tap(page, 'Close the camera');
  await tap(page, 'Back');
  await tap(page, /^Back aboard/);
  await untilHeading(page, /2 open/);
  expect(await page.getByRole('list', { name: 'Still open' }).textContent()).toMatch(
    /Long lens.*went out today/,
  );
  await tap(page, 'Scan');
  await untilWord(page, 'Aboard');
  await untilHeading(page, /1 open/);
  await tap(page, 'Close the camera');

  await tap(page, /^Twin charger/);
  await tap(page, 'Not found yet');
  await untilHeading(page, /0 open/);
  await tap(page, 'Close the count');
  await tap(page, /close with 1 not found yet$/);
  await untilHeading(page, 'As closed');
  await untilSync(page, /offline · \d+ wait since \d\d:\d\d/);

  await context.setOffline(false);
  await untilSync(page, /all with the service/);
  const stops = await service.ask('GET', '/api/stops');
  const [stop] = Array.isArray(stops.body.stops) ? stops.body.stops : [];
  const count = await service.ask('GET', `/api/counts/${stop.id}/1`);
  expect(count.body.closed).toMatchObject({ sums: { expected: 2, aboard: 1, notFound: 1, away: 0 } });
  expect(count.body.lines).toContainEqual(
    expect.objectContaining({
      thingId: charger,
      state: 'absent',
      said: expect.objectContaining({ said: 'not-found' }),
    }),
  );
  await opened.close();
  await service.stop();
});

test('what was said offline survives a reload and a killed page, and reaches the service once', async () => {
  const { service } = await makeTruck();
  const opened = await openBrowser({ context: PHONE });
  const { context } = opened;
  let { page } = opened;
  await page.goto(`${service.origin}/scan/`);
  await untilHeading(page, 'Reed and Tide');
  await untilKept(page);
  await context.setOffline(true);
  await tap(page, /^New stop here/);
  await tap(page, /^Going in/);
  await page.getByLabel('Type a code').fill(TAG);
  await tap(page, 'Enter');
  await untilWord(page, 'Gone in');
  await page.getByRole('button', { name: 'Undo' }).waitFor();

  await page.reload();
  await untilHeading(page, /^Going in/);
  expect(await page.getByRole('list', { name: 'Gone in' }).textContent()).toContain('Long lens');

  // The page dies in the middle of the next scan's screen, without being asked.
  await page.getByLabel('Type a code').fill(TAG);
  await tap(page, 'Enter');
  await untilWord(page, 'Already in');
  await page.getByText('Long lens: already in').waitFor();
  const crashed = page.waitForEvent('crash');
  const devtools = await context.newCDPSession(page);
  devtools.send('Page.crash').catch(() => {});
  await crashed;
  await page.close();
  page = await opened.openPage();
  await page.goto(`${service.origin}/scan/`);
  await untilHeading(page, /^Going in/);
  await untilSync(page, /3 wait since/);

  await context.setOffline(false);
  await untilSync(page, /all with the service/);
  const ledger = await service.ask('GET', '/api/movements?limit=100');
  const lines = Array.isArray(ledger.body.movements) ? ledger.body.movements : [];
  const scans = lines.filter(({ line }) => line.kind === 'move' && line.why === 'load-in');
  expect(scans.map(({ line }) => line.deviceNo).sort()).toEqual([1, 2]);
  expect(scans.every(({ line }) => line.code === TAG)).toBe(true);
  await opened.close();
  await service.stop();
});
