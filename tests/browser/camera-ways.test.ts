// The other ways in: a picture of the library, an older phone, a reader that types. With no network, where that counts.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BrowserOptions, openBrowser, type TestBrowser } from './browser.ts';
import { type Label, makePicture, makeVideo } from './making-video.ts';
import { type ServedPage, serveBuilt } from './serve-built.ts';

let served: ServedPage;
let folder: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tailcount-ways-'));
  served = await serveBuilt('scanner', ['reader/reader-page.html']);
});
afterAll(async () => {
  await served.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function onPage(
  options: BrowserOptions,
  look: (page: Page, opened: TestBrowser) => Promise<void>,
): Promise<void> {
  const opened = await openBrowser(options);
  try {
    await opened.page.goto(`${served.origin}/scan/reader/reader-page.html`);
    await look(opened.page, opened);
  } catch (error) {
    await opened.browser.close();
    throw error;
  }
  await opened.close();
}

const textOf = (page: Page, id: string): Promise<string | null> => page.locator(`#${id}`).textContent();
const linesOf = (page: Page, name: string): Promise<string[]> =>
  page.getByRole('list', { name }).getByRole('listitem').allTextContents();
const until = async (page: Page, id: string, text: string): Promise<void> => {
  await expect.poll(() => textOf(page, id), { timeout: 30_000 }).toBe(text);
};
const choose = async (page: Page, content: Buffer, mimeType = 'image/png'): Promise<void> => {
  await page.getByLabel('Picture').setInputFiles({ name: 'label.png', mimeType, buffer: content });
};

describe('a picture of the library', () => {
  // Start set B on a dark surface: the very case that html5-qrcode's own decoder reads in 0 of 24 clean frames.
  const code128: Label = { kind: 'code128', text: 'TC7K3M9Q4X' };

  it('is read by html5-qrcode with our decoder, the page opened with no network', async () => {
    await onPage({}, async (page, { context }) => {
      await until(page, 'kept', 'ready');
      await context.setOffline(true);
      await page.reload();
      await choose(page, makePicture([code128]));
      await expect.poll(() => linesOf(page, 'Scans'), { timeout: 30_000 }).toEqual(['Code128 TC7K3M9Q4X']);
      expect(await textOf(page, 'picture-read')).toBe('read');
    });
  });

  it.each([
    { kind: 'qrcode', text: 'TC7K3M9Q4X', line: 'QRCode TC7K3M9Q4X' },
    { kind: 'datamatrix', text: 'TC7K3M9Q4X', line: 'DataMatrix TC7K3M9Q4X' },
    { kind: 'ean13', text: '2901234567896', line: 'EAN13 2901234567896' },
  ] as const)('of a $kind code off the middle is read', async ({ kind, text, line }) => {
    await onPage({}, async (page) => {
      await choose(page, makePicture([{ kind, text, x: 420, y: 280 }]));
      await expect.poll(() => linesOf(page, 'Scans'), { timeout: 30_000 }).toEqual([line]);
    });
  });

  it('without a code gets a sentence, and so does a file that is no picture', async () => {
    await onPage({}, async (page) => {
      await choose(page, makePicture([]));
      await expect
        .poll(() => textOf(page, 'picture-read'), { timeout: 30_000 })
        .toMatch(/^nothing-found: No code/);
      await choose(page, Buffer.from('this is no picture'));
      await expect
        .poll(() => textOf(page, 'picture-read'), { timeout: 30_000 })
        .toMatch(/^no-picture: .*Choose a photo/);
      expect(await linesOf(page, 'Scans')).toEqual([]);
    });
  });
});

describe('a phone that cannot decode in a worker', () => {
  it('reads a Code 128 tag on dark gear all the same, and lets the camera go when stopped', async () => {
    const camera = makeVideo(join(folder, 'older.y4m'), [{ kind: 'code128', text: 'TC7K3M9Q4X' }]);
    const context = { viewport: { width: 390, height: 844 } };
    await onPage({ camera, context }, async (page) => {
      await page.addInitScript(() => Reflect.deleteProperty(window, 'OffscreenCanvas'));
      await page.reload();
      await page.getByRole('button', { name: 'Start' }).click();
      await expect.poll(() => linesOf(page, 'Scans'), { timeout: 30_000 }).toEqual(['Code128 TC7K3M9Q4X']);
      expect(await textOf(page, 'way')).toBe('older-phone');
      await page.getByRole('button', { name: 'Stop' }).click();
      await until(page, 'state', 'off');
      expect(await page.locator('video').count()).toBe(1);
      expect(await page.locator('#video').isVisible()).toBe(true);
    });
  });
});

describe('the page with no network', () => {
  it('opens, starts the camera and reads, with the service stopped', async () => {
    const camera = makeVideo(join(folder, 'offline.y4m'), [{ kind: 'datamatrix', text: 'TC7K3M9Q4X' }]);
    await onPage({ camera }, async (page, { context }) => {
      await until(page, 'kept', 'ready');
      await context.setOffline(true);
      await page.reload();
      await page.getByRole('button', { name: 'Start' }).click();
      await expect.poll(() => linesOf(page, 'Scans'), { timeout: 30_000 }).toEqual(['DataMatrix TC7K3M9Q4X']);
    });
  });
});

describe('a reader that types', () => {
  // All keys in one task: a busy machine must not turn a burst into slow typing. True for each key that was taken.
  const burst = (page: Page, ...keys: readonly string[]): Promise<boolean[]> =>
    page.evaluate((each) => {
      const target = document.activeElement ?? document.body;
      return each.map((key) => {
        const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true });
        return !target.dispatchEvent(event);
      });
    }, keys);

  it('is told as one text, and neither its Enter nor its blank presses the button in focus', async () => {
    await onPage({ camera: 'none' }, async (page) => {
      await page.getByRole('button', { name: 'Start' }).focus();
      const taken = await burst(page, ...'TC 7K3M9Q4X', 'Enter');
      expect(await burst(page, ...'TC12', 'Shift', 'a', 'Tab')).toEqual([
        false,
        true,
        true,
        true,
        false,
        true,
        true,
      ]);
      expect(taken.slice(1)).toEqual(taken.slice(1).map(() => true));
      expect(await linesOf(page, 'Bursts')).toEqual(['TC 7K3M9Q4X', 'TC12a']);
    });
  });

  it('leaves two quick keys and a lone Enter to the page', async () => {
    await onPage({}, async (page) => {
      expect((await burst(page, 'a', 'b', 'Enter')).at(-1)).toBe(false);
      expect(await burst(page, 'Enter', 'Tab')).toEqual([false, false]);
      expect(await linesOf(page, 'Bursts')).toEqual([]);
    });
  });

  it('leaves alone what is typed into a field, and keys that a person types', async () => {
    await onPage({}, async (page) => {
      await page.getByLabel('Typed').focus();
      await page.keyboard.type('TC7K3M9Q4X\n');
      expect(await page.getByLabel('Typed').inputValue()).toBe('TC7K3M9Q4X');
      await page.getByLabel('Typed').blur();
      await page.keyboard.type('abcd\n', { delay: 200 });
      expect(await linesOf(page, 'Bursts')).toEqual([]);
    });
  });
});
