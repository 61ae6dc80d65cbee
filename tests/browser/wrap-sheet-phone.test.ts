// The wrap sheet from the phone, with no network, from its own book: one page, and what the count would ask for.
import { afterAll, beforeAll, expect, test } from 'vitest';
import { axe, openBrowser } from './browser.ts';
import { buildPhonePage, type PhoneService, startPhoneService } from './phone-service.ts';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' };

let built: Awaited<ReturnType<typeof buildPhonePage>>;
let service: PhoneService;
beforeAll(async () => {
  built = await buildPhonePage();
  service = await startPhoneService(built.folder);
  await service.loadDemo();
});
afterAll(async () => {
  await service.stop();
  built.remove();
});

test('is one page, A4 and Letter, drawn offline from the phone’s own book, and says what the desk’s says', async () => {
  const { page, context, close } = await openBrowser({ context: PHONE });
  const tap = (name: string | RegExp) => page.getByRole('button', { name }).first().tap();
  await page.goto(`${service.origin}/scan/`);
  await page.getByRole('heading', { name: /open/ }).first().waitFor();
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await context.setOffline(true);
  await tap('Wrap sheet');
  const sheet = page.getByRole('article', { name: 'Wrap sheet' });
  await sheet.waitFor();
  expect(await axe(page, { enhancedContrast: true })).toEqual([]);
  for (const format of ['A4', 'Letter'] as const) {
    const pdf = await page.pdf({ format });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
  }
  const rows = await sheet.locator('.sheet-rows').first().getByRole('listitem').allTextContents();
  expect(rows.join()).toContain('wall socket behind the door');
  const { body } = await service.ask('GET', '/api/counts?limit=1');
  const stopId = String(Array.isArray(body.counts) ? body.counts[0]?.stopId : '');
  const { out } = (await service.ask('GET', `/api/counts/${stopId}/1/sheet`)).body;
  const asked = JSON.stringify(out);
  expect(rows.length).toBeGreaterThan(5);
  expect(asked.match(/"name":/g)).toHaveLength(rows.length);
  await close();
});
