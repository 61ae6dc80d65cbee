// "phone javascript": what the phone page fetches up to the first verdict by typing, gzip. The decoder's glue, its wasm
// and html5-qrcode are named beside it, because they come only with the camera.
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { printFigure } from './figure.ts';
import { codeOf, withPhone } from './phone.ts';

const APART = /zxing|decoder|html5-qrcode|older-phone|scan-picture|\.wasm$/;

const kilobytes = (bytes: number): number => Number((bytes / 1_000).toFixed(1));

export async function benchPhoneJavascript(): Promise<void> {
  const fetched = new Map<string, Promise<number>>();
  const watch = (page: Page) => {
    page.on('response', (response) => {
      const name = new URL(response.url()).pathname;
      if (/\.(js|wasm)$/.test(name))
        fetched.set(
          name,
          response.body().then((body) => gzipSync(body).length),
        );
    });
  };
  await withPhone(async (page) => {
    await page.getByRole('textbox').first().fill(codeOf(0));
    await page.getByRole('textbox').first().press('Enter');
    await page.getByRole('heading', { level: 1, name: /299 open/ }).waitFor();
    const sizes = await Promise.all([...fetched].map(async ([name, size]) => [name, await size] as const));
    const own = sizes.filter(([name]) => !APART.test(name));
    const apart = sizes.filter(([name]) => APART.test(name));
    const total = (list: typeof sizes) => kilobytes(list.reduce((sum, [, size]) => sum + size, 0));
    if (own.length === 0) throw new Error('no script was seen to be fetched');
    printFigure({
      ...{ figure: 'phone javascript', value: total(own), unit: 'kB gzip', against: null, ratio: null },
      ...{ files: own.length, apart: total(apart), apartFiles: apart.map(([name]) => name).join(' ') },
    });
  }, watch);
}
