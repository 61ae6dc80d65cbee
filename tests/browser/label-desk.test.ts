// Labels at the desk: pick, choose, see, print; and the printed PDF read back by a decoder that is not ours.
import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cellOf, findFormat } from '#domain/label-format.ts';
import { cutOut, prepareDecoder, read, renderPages } from '../labels/reading.ts';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

describe('labels at the desk', () => {
  let desk: Desk;
  beforeAll(async () => {
    prepareDecoder();
    desk = await openDesk([/404 \(Not Found\).*\/api\/outfit/]);
    const { page } = desk;
    await page.goto(desk.origin);
    await page.getByRole('button', { name: 'Open the demo outfit' }).click();
    await page.getByRole('tree', { name: 'Where' }).waitFor({ timeout: 60_000 });
  });
  afterAll(() => desk.close());

  it('gives tags to what has none, and the PDF holds them in home order', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/labels`);
    await page.getByLabel('Lives in').selectOption({ label: 'Bittern' });
    const names = ['Camera well', 'Left drawer', 'Right drawer'];
    // Ticked out of order: the sheet is in order all the same.
    for (const name of [...names].reverse()) await page.getByRole('checkbox', { name, exact: true }).check();
    await page.getByLabel('Printed on').selectOption('a4-21');
    await page.getByLabel('Telephone number on it').fill('+351 912 000 111');
    await page.getByRole('button', { name: 'Give 3 a tag and make the PDF' }).click();
    const save = page.getByRole('link', { name: 'Save it' });
    await save.waitFor();
    await assertNothingFound(page, 'labels');
    const [download] = await Promise.all([page.waitForEvent('download'), save.click()]);
    const [sheet] = await renderPages(await readFile(await download.path()), 300);
    if (sheet === undefined) throw new Error('the PDF has a page');
    const { body } = await desk.ask('GET', '/api/labels?limit=500');
    const labels: readonly { name: string; tag: string | null }[] = Array.isArray(body.labels)
      ? body.labels
      : [];
    const tags = names.map((name) => labels.find((one) => one.name === name)?.tag);
    const format = findFormat('a4-21');
    if (format === null) throw new Error('there is such a format');
    const { widthMm, heightMm } = format;
    const labelAt = (index: number) => cutOut(sheet, { ...cellOf(format, index, 1), widthMm, heightMm }, 300);
    const found = await Promise.all(names.map((_, index) => read(labelAt(index), 'QRCode')));
    expect(found).toEqual(tags.map((tag) => [tag]));
  });

  it('says what would not read at 25 cm and takes what does', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/labels?show=tagged`);
    await page.getByRole('button', { name: /Choose all/ }).click();
    await page.getByLabel('Printed on').selectOption('a4-189');
    await page.getByLabel('Symbol').selectOption('qr');
    const advice = page.getByRole('note');
    await advice.getByText('would read from 14 cm only', { exact: false }).waitFor();
    await assertNothingFound(page, 'labels that are too fine');
    await advice.getByRole('button', { name: 'Take Data Matrix' }).click();
    await expect.poll(() => page.getByLabel('Symbol').inputValue()).toBe('data-matrix');
    await expect.poll(() => advice.count()).toBe(0);
  });

  it('begins where the sheet’s picture is clicked, and still does after a reload', async () => {
    const { page } = desk;
    await page.locator('.sheet-place').nth(14).click();
    await expect.poll(() => page.getByLabel('Begin at label').inputValue()).toBe('15');
    await page.reload();
    await expect.poll(() => page.getByLabel('Begin at label').inputValue()).toBe('15');
    expect(await page.getByLabel('Printed on').inputValue()).toBe('a4-189');
  });
});
