// The page that is kept on the phone, through a newer version of it; and the sound and the buzz of a verdict.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openBrowser, type TestBrowser } from './browser.ts';
import { type ServedPage, serveBuilt } from './serve-built.ts';

const PATH = '/scan/reader/reader-page.html';

let served: ServedPage;
let opened: TestBrowser;

beforeEach(async () => {
  served = await serveBuilt('scanner', ['reader/reader-page.html']);
  opened = await openBrowser();
});
afterEach(async () => {
  await opened.close();
  await served.stop();
});

async function openKept(page: Page): Promise<void> {
  await page.goto(`${served.origin}${PATH}`);
  await expect.poll(() => page.locator('#kept').textContent(), { timeout: 30_000 }).not.toBe('preparing');
}

/** A newer page is on the service: its heading says so, and its worker has another version. */
function publishNewer(): void {
  const page = join(served.folder, 'reader', 'reader-page.html');
  writeFileSync(page, readFileSync(page, 'utf8').replaceAll('The reader alone', 'The newer reader'));
  const worker = join(served.folder, 'sw.js');
  writeFileSync(worker, readFileSync(worker, 'utf8').replace(/"version":"\w+"/, '"version":"newer"'));
}

const keptCaches = (page: Page): Promise<string[]> => page.evaluate(() => caches.keys());
const lookForUpdate = (page: Page): Promise<void> =>
  page.evaluate(async () => void (await (await navigator.serviceWorker.getRegistration())?.update()));
const heading = (page: Page): Promise<string | null> => page.getByRole('heading', { level: 1 }).textContent();
const untilWaiting = async (page: Page): Promise<void> => {
  await lookForUpdate(page);
  await expect.poll(() => page.locator('#kept').textContent(), { timeout: 30_000 }).toBe('update-waiting');
};

describe('a newer page', () => {
  it('waits while the old one is open, and the old one keeps every file it has', async () => {
    const { page, context } = opened;
    await openKept(page);
    const [before] = await keptCaches(page);
    publishNewer();
    await untilWaiting(page);
    expect(await keptCaches(page)).toContain(before);
    await context.setOffline(true);
    await page.reload();
    expect(await heading(page)).toBe('The reader alone');
  });

  it('comes when the page says so, and the older files go', async () => {
    const { page } = opened;
    await openKept(page);
    publishNewer();
    await untilWaiting(page);
    await page.getByRole('button', { name: 'Take over' }).click();
    await expect.poll(() => heading(page), { timeout: 30_000 }).toBe('The newer reader');
    await expect.poll(() => keptCaches(page), { timeout: 30_000 }).toEqual(['tailcount-scan-newer']);
  });

  it('comes by itself once no page is open', async () => {
    await openKept(opened.page);
    publishNewer();
    await untilWaiting(opened.page);
    await opened.page.goto('about:blank');
    await opened.page.close();
    const page = await opened.openPage();
    await expect
      .poll(
        async () => {
          await page.goto(`${served.origin}${PATH}`);
          return heading(page);
        },
        { timeout: 30_000 },
      )
      .toBe('The newer reader');
  });

  it('of which one file is missing never comes into use', async () => {
    const { page } = opened;
    await openKept(page);
    const before = await keptCaches(page);
    const worker = join(served.folder, 'sw.js');
    const broken = readFileSync(worker, 'utf8').replace(
      /"version":"\w+","files":\[/,
      '"version":"broken","files":["gone.js",',
    );
    writeFileSync(worker, broken);
    await lookForUpdate(page);
    await expect
      .poll(() =>
        page.evaluate(async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          return registration?.installing === null && registration.waiting === null;
        }),
      )
      .toBe(true);
    await opened.context.setOffline(true);
    await page.reload();
    expect(await heading(page)).toBe('The reader alone');
    expect(await keptCaches(page)).toEqual(expect.arrayContaining(before));
  });
});

describe('a verdict', () => {
  const count = async (page: Page): Promise<{ notes: number; buzzes: number[][] }> =>
    page.evaluate(() => ({ notes: Reflect.get(window, 'notes'), buzzes: Reflect.get(window, 'buzzes') }));

  it('is heard and felt; switched to silent, only felt', async () => {
    const { page } = opened;
    await page.addInitScript(() => {
      Object.assign(window, { notes: 0, buzzes: [] });
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (when) {
        Reflect.set(window, 'notes', Reflect.get(window, 'notes') + 1);
        start.call(this, when);
      };
      Object.defineProperty(navigator, 'vibrate', {
        value: (pattern: number[]) => Reflect.get(window, 'buzzes').push(pattern) > 0,
      });
    });
    await openKept(page);
    await page.getByRole('button', { name: 'Verdict' }).click();
    expect(await count(page)).toEqual({ notes: 2, buzzes: [[220, 90, 220]] });
    await page.getByRole('button', { name: 'Silent' }).click();
    await page.getByRole('button', { name: 'Verdict' }).click();
    expect(await count(page)).toEqual({
      notes: 2,
      buzzes: [
        [220, 90, 220],
        [220, 90, 220],
      ],
    });
    await page.reload();
    await page.getByRole('button', { name: 'Verdict' }).click();
    expect((await count(page)).notes).toBe(0);
  });
});
