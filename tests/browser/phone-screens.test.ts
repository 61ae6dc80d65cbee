// Every screen of the phone page on the demo outfit, in both themes, at the size of a phone: nothing that axe-core finds by
// WCAG 2.2 AA, text at 7:1, and every target at least 48 px high. PHONE_SHOTS=folder keeps a picture of each.
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { axe, openBrowser } from './browser.ts';
import { buildPhonePage, type PhoneService, startPhoneService } from './phone-service.ts';

const TARGET_PX = 48;
const SHOTS = process.env.PHONE_SHOTS;

let built: Awaited<ReturnType<typeof buildPhonePage>>;
let service: PhoneService;

beforeAll(async () => {
  built = await buildPhonePage();
});
afterAll(() => built.remove());
// A demo outfit for each walk: what one walk answers for would be answered already in the next.
beforeEach(async () => {
  service = await startPhoneService(built.folder);
  await service.loadDemo();
});
afterEach(() => service.stop());

/** Buttons, links, fields and summaries lower than a gloved finger needs. Unseen ones and text in a sentence don't count. */
function lowTargets(page: Page): Promise<readonly string[]> {
  return page.evaluate((least) => {
    const low: string[] = [];
    for (const element of document.querySelectorAll('button, a, select, summary, input')) {
      const pick = element.closest('label') ?? element;
      const { height, width } = pick.getBoundingClientRect();
      if (width > 1 && height > 0 && height < least)
        low.push(`${element.tagName} ${element.textContent} ${height}`);
    }
    return low;
  }, TARGET_PX);
}

async function visit(page: Page, theme: string, look: (name: string) => Promise<void>): Promise<void> {
  const tap = (name: string | RegExp) => page.getByRole('button', { name }).first().tap();
  const until = (text: string | RegExp) => page.getByRole('heading', { name: text }).first().waitFor();
  const back = () => tap('Back');
  await page.goto(`${service.origin}/scan/`);
  await until(/open/);
  await look('count');
  await tap('Stops');
  await until('Not finished');
  await look('stops');
  await tap('Settings');
  await until('Settings');
  await look('settings');
  await tap(/^The drawer/);
  await until(/The drawer/);
  await look('drawer');
  await back();
  await back();
  await tap('Still out there');
  await until(/Still out there/);
  await look('out');
  await back();
  await tap('Find a thing');
  await page.getByRole('searchbox').fill('bat');
  await page.getByRole('list', { name: 'Found' }).getByRole('button').first().waitFor();
  await look('find');
  await page.getByRole('list', { name: 'Found' }).getByRole('button').first().tap();
  await until(/./);
  await look('thing');
  await back();
  await back();
  await tap(/still open/);
  await until(/open/);
  await page.getByRole('list', { name: 'Still open' }).getByRole('button').first().tap();
  await page.getByRole('button', { name: 'With somebody' }).tap();
  await look('line');
  await back();
  await page.getByRole('list', { name: 'Compartments' }).getByRole('button').first().tap();
  await until(/^Camera well/);
  await look('compartment');
  await back();
  await page.getByLabel('Type a code').fill('TC7K3M9Q4A');
  await tap('Enter');
  await page.getByText('Bad code').waitFor();
  await look('bad-code');
  await page.getByLabel('Type a code').fill('SOME-LABEL-1');
  await tap('Enter');
  await page.getByText('Keep it').waitFor();
  await look('unknown');
  await tap('Leave it');
  await tap('Refill and tidy');
  await until('Refill and tidy');
  await look('lists');
  await back();
  await tap('What was said');
  await until(/What was said/);
  await look('said');
  await back();
  await tap('Stops');
  await tap(/^New stop here/);
  await until(/^Stop,/);
  await look('stop');
  await tap(/^Going in/);
  await until(/Going in/);
  await look('going-in');
  await back();
  await tap(/^Back aboard/);
  await until(/open/);
  await closeIt(page, look);
  expect(theme).not.toBe('');
}

/** Answers for every compartment, leaves one thing not found, and closes. */
async function closeIt(page: Page, look: (name: string) => Promise<void>): Promise<void> {
  const tap = (name: string | RegExp) => page.getByRole('button', { name }).first().tap();
  await page.getByRole('list', { name: 'Still open' }).getByRole('button').first().tap();
  await tap(/[Nn]ot found yet$/);
  await page.getByRole('list', { name: 'Compartments' }).getByRole('button').first().tap();
  for (;;) {
    const heading = page.getByRole('heading', { level: 1 });
    const before = await heading.textContent();
    await tap(/^(All of these are here|Looked)/);
    await expect.poll(() => heading.textContent()).not.toBe(before);
    if (/^Stop,/.test((await heading.textContent()) ?? '')) break;
  }
  await look('count-answered');
  await tap(/^(Close the count|Everything is aboard)/);
  await page.getByRole('heading', { name: /Close the count/ }).waitFor();
  await look('close');
  await tap(/^Looked everywhere/);
  await page.getByRole('heading', { name: 'As closed' }).waitFor();
  await look('closed');
}

test.each(['light', 'dark'] as const)('every screen in the %s theme', async (theme) => {
  const opened = await openBrowser({
    context: {
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
      colorScheme: theme,
      locale: 'en-GB',
      reducedMotion: 'reduce',
    },
  });
  const { page } = opened;
  const found: string[] = [];
  await visit(page, theme, async (name) => {
    if (SHOTS) await page.screenshot({ path: join(SHOTS, `${name}-${theme}.png`), fullPage: true });
    const wrong = await axe(page, { enhancedContrast: true });
    found.push(...wrong.map((line) => `${name}: ${line}`));
    found.push(...(await lowTargets(page)).map((line) => `${name}: ${line}`));
  });
  expect(found).toEqual([]);
  await opened.close();
});
