// The camera reader in a real Chromium whose camera plays a film of labels. The labels are drawn by jsbarcode and
// bwip-js, so the decoder is checked against drawings that it had no part in.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type BrowserOptions, openBrowser, type TestBrowser } from './browser.ts';
import { type Label, makeVideo } from './making-video.ts';
import { type ServedPage, serveBuilt } from './serve-built.ts';

let served: ServedPage;
let folder: string;
let made = 0;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tailcount-camera-'));
  served = await serveBuilt('scanner', ['reader/reader-page.html']);
});
afterAll(async () => {
  await served.stop();
  rmSync(folder, { recursive: true, force: true });
});

function film(...labels: readonly Label[]): string {
  made += 1;
  return makeVideo(join(folder, `film-${made}.y4m`), labels);
}

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

const start = (page: Page): Promise<void> => page.getByRole('button', { name: 'Start' }).click();
const stop = (page: Page): Promise<void> => page.getByRole('button', { name: 'Stop' }).click();
const scans = (page: Page): Promise<string[]> =>
  page.getByRole('list', { name: 'Scans' }).getByRole('listitem').allTextContents();
const untilScans = async (page: Page, ...lines: readonly string[]): Promise<void> => {
  await expect.poll(() => scans(page), { timeout: 20_000 }).toEqual(lines);
};
const untilState = async (page: Page, kind: string): Promise<void> => {
  await expect.poll(() => page.locator('#state').textContent(), { timeout: 20_000 }).toBe(kind);
};

describe('each kind of code is read by the camera', () => {
  const labels: readonly (readonly [string, Label])[] = [
    ['Code128 TC7K3M9Q4X', { kind: 'code128', text: 'TC7K3M9Q4X' }],
    ['QRCode TC7K3M9Q4X', { kind: 'qrcode', text: 'TC7K3M9Q4X' }],
    ['DataMatrix TC7K3M9Q4X', { kind: 'datamatrix', text: 'TC7K3M9Q4X' }],
    // Numbers of the ranges that GS1 leaves for use inside a company (prefixes 29 and 4), so nobody's product.
    // Source: GS1 General Specifications, restricted circulation numbers; from memory.
    ['EAN13 2901234567896', { kind: 'ean13', text: '2901234567896' }],
    ['UPCA 412345678903', { kind: 'upca', text: '412345678903' }],
    ['ITF 02901234567896', { kind: 'itf', text: '02901234567896' }],
  ];
  it.each(labels)('%s on dark gear', async (line, label) => {
    await onPage({ camera: film(label) }, async (page) => {
      await start(page);
      await untilScans(page, line);
      expect(await page.locator('#way').textContent()).toBe('own-loop');
    });
  });
});

describe('what the camera tells', () => {
  it('of two labels in view the one that is aimed at is told, and told once while it stays', async () => {
    const near: Label = { kind: 'qrcode', text: 'TCAAAAAA11', x: 640, y: 380, module: 2 };
    const far: Label = { kind: 'qrcode', text: 'TCBBBBBB22', x: 300, y: 250, module: 3 };
    await onPage({ camera: film(far, near) }, async (page) => {
      await start(page);
      await untilScans(page, 'QRCode TCAAAAAA11');
      // Sixty more frames of the same film go by.
      await page.evaluate(async () => {
        const video = document.querySelector('video');
        for (let frame = 0; frame < 60; frame += 1) {
          await new Promise((resolve) => video?.requestVideoFrameCallback(resolve));
        }
      });
      expect(await scans(page)).toEqual(['QRCode TCAAAAAA11']);
    });
  });

  it('stopped, it lets the camera go; started again, it reads again', async () => {
    await onPage({ camera: film({ kind: 'datamatrix', text: 'TC7K3M9Q4X' }) }, async (page) => {
      await start(page);
      await untilScans(page, 'DataMatrix TC7K3M9Q4X');
      await stop(page);
      await untilState(page, 'off');
      expect(await page.evaluate(() => document.querySelector('video')?.srcObject)).toBeNull();
      await start(page);
      await untilState(page, 'looking');
    });
  });

  it('started and stopped in one breath, the camera ends as the last wish says', async () => {
    await onPage({ camera: film({ kind: 'qrcode', text: 'TC7K3M9Q4X' }) }, async (page) => {
      await page.evaluate(() => {
        for (const id of ['start', 'stop', 'start', 'start', 'stop']) document.getElementById(id)?.click();
      });
      await untilState(page, 'off');
      expect(await page.evaluate(() => document.querySelector('video')?.srcObject)).toBeNull();
      await page.evaluate(() => {
        for (const id of ['start', 'stop', 'start']) document.getElementById(id)?.click();
      });
      await untilScans(page, 'QRCode TC7K3M9Q4X');
      await untilState(page, 'looking');
    });
  });
});

describe('what happens around the camera', () => {
  const label: Label = { kind: 'qrcode', text: 'TC7K3M9Q4X' };
  const hide = (page: Page, hidden: boolean): Promise<void> =>
    page.evaluate((now) => {
      Object.defineProperty(document, 'hidden', { value: now, configurable: true });
      document.dispatchEvent(new Event('visibilitychange'));
    }, hidden);

  it('hidden, the page lets the camera go; shown again, it goes on by itself', async () => {
    await onPage({ camera: film(label) }, async (page) => {
      await start(page);
      await untilState(page, 'looking');
      await hide(page, true);
      await untilState(page, 'paused');
      expect(await page.evaluate(() => document.querySelector('video')?.srcObject)).toBeNull();
      await hide(page, false);
      await untilState(page, 'looking');
    });
  });

  it('a camera that the device takes away is said, with what to do', async () => {
    await onPage({ camera: film(label) }, async (page) => {
      await start(page);
      await untilState(page, 'looking');
      await page.evaluate(() => {
        const stream = document.querySelector('video')?.srcObject;
        if (stream instanceof MediaStream) stream.getVideoTracks()[0]?.dispatchEvent(new Event('ended'));
      });
      await untilState(page, 'taken');
      expect(await page.locator('#sentence').textContent()).toContain('Try again');
    });
  });

  it('with nothing to scan the camera rests, and wakes when asked', async () => {
    await onPage({ camera: film() }, async (page) => {
      await page.goto(`${served.origin}/scan/reader/reader-page.html?rest=300`);
      await start(page);
      await untilState(page, 'resting');
      await start(page);
      await untilState(page, 'resting');
      expect(await scans(page)).toEqual([]);
    });
  });

  it('a refused camera is a sentence and no error', async () => {
    await onPage({ camera: film(label), permission: 'refused' }, async (page) => {
      await start(page);
      await untilState(page, 'refused');
      expect(await page.locator('#sentence').textContent()).toContain('Allow it in the browser’s settings');
    });
  });

  it('a machine without a camera says so, and what works instead', async () => {
    await onPage({ camera: 'none' }, async (page) => {
      await start(page);
      await untilState(page, 'no-camera');
      expect(await page.locator('#sentence').textContent()).toContain('Type the code');
    });
  });
});
