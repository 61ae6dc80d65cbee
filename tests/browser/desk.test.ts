// The desk in a real browser, against the whole service: from an empty database to a list that is found again.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

// A list of our own making: semicolons, decimal commas, a quantity column, one line without a name and one with a
// number that is none.
const LIST = [
  'Item;Manufacturer;Serial no;Qty;Lives in;Replacement value;Remark',
  'Marsh camera;Heron Optics;HC4-0012;1;Bittern / Left drawer;4.250,00 €;body only',
  'Clamp, super;Reedwork;;12;Bittern / Grip box;24,90 €;',
  'Twin charger;Sedge Power;SP-771;1;Bittern / Left drawer;189,00 €;most often forgotten',
  'Card, red dot;Silt;S-00041;1;Bittern / Media pouch;abc;',
].join('\r\n');

describe('the desk on an empty database', () => {
  let desk: Desk;
  beforeAll(async () => {
    // The one question that is answered with 404 on an empty database: whose desk it is.
    desk = await openDesk([/404 \(Not Found\).*\/api\/outfit/]);
  });
  afterAll(async () => {
    await desk.close();
  });

  it('opens on one page that offers to begin, and takes somebody’s own gear to the list', async () => {
    const { page } = desk;
    await page.goto(desk.origin);
    await page.getByRole('heading', { name: 'Look around' }).waitFor();
    await assertNothingFound(page, 'the first page');
    await page.getByLabel('Name of the outfit').fill('Two in the reeds');
    await page.getByRole('button', { name: 'Start, then bring in a list' }).click();
    await page.getByRole('heading', { name: 'Bring in a list' }).waitFor();
    expect(await page.title()).toBe('Bring in a list · Two in the reeds');
    expect(new URL(page.url()).pathname).toBe('/bring-in');
  });

  it('shows how the list is understood, brings in its good lines and hands back the refused one', async () => {
    const { page } = desk;
    await assertNothingFound(page, 'bring in a list');
    await page
      .getByLabel('A CSV file', { exact: true })
      .and(page.locator('input'))
      .setInputFiles({ name: 'gear.csv', mimeType: 'text/csv', buffer: Buffer.from(LIST) });
    await expect.poll(() => page.getByLabel('What Qty holds').inputValue()).toBe('number');
    expect(await page.getByLabel('Decimals in Replacement value').inputValue()).toBe(',');
    await page.getByRole('button', { name: /^refused/ }).waitFor();
    await assertNothingFound(page, 'the plan of a list');
    // A column that is not to be brought in is said so, and the plan follows.
    await page.getByLabel('What Remark holds').selectOption('nothing');
    await expect.poll(() => page.getByLabel('What Remark holds').inputValue()).toBe('nothing');
    await page.getByRole('button', { name: 'Bring in 3 things' }).click();
    await page.getByRole('heading', { name: 'Brought in' }).waitFor();
    await assertNothingFound(page, 'what became of a list');
    const download = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Save the refused lines' }).click();
    const { readFile } = await import('node:fs/promises');
    const refused = await readFile(await (await download).path(), 'utf8');
    expect(refused).toContain('Card, red dot');
    expect(refused).toContain('Why it was refused');
    expect(refused).not.toContain('Marsh camera');
  });

  it('opens the tree with the keyboard and shows what is in the drawer', async () => {
    const { page } = desk;
    await page.getByRole('link', { name: 'See where everything is' }).click();
    const tree = page.getByRole('tree', { name: 'Where' });
    const vehicle = tree.getByRole('treeitem', { name: /Bittern/ });
    await vehicle.focus();
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => vehicle.getAttribute('aria-expanded')).toBe('true');
    await page.keyboard.press('ArrowRight');
    const focused = page.locator('[role=treeitem]:focus');
    await expect.poll(() => focused.textContent()).toMatch(/Grip box|Left drawer/);
    await tree.getByRole('treeitem', { name: /Left drawer/ }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('link', { name: 'Marsh camera' }).waitFor();
    await assertNothingFound(page, 'where');
    const address = page.url();
    await page.reload();
    await page.getByRole('link', { name: 'Marsh camera' }).waitFor();
    expect(page.url()).toBe(address);
  });

  it('finds it by a misspelt name, says where it is, and opens it', async () => {
    const { page } = desk;
    await page.keyboard.press('/');
    await page.keyboard.type('twin chrager');
    const row = page.getByRole('row', { name: /Twin charger/ });
    await row.getByText('is spelt like it').waitFor();
    await row.getByRole('link', { name: 'Left drawer' }).waitFor();
    await assertNothingFound(page, 'find');
    await row.getByRole('link', { name: 'Twin charger' }).click();
    await page.getByRole('cell', { name: '€189.00' }).waitFor();
    await page.getByRole('listitem').filter({ hasText: 'came to us' }).first().waitFor();
    await assertNothingFound(page, 'a thing');
    await page.goBack();
    await page.getByRole('heading', { name: 'Find “twin chrager”' }).waitFor();
  });

  it('makes tags whose labels can be printed', async () => {
    const { page } = desk;
    await page.getByRole('link', { name: 'Tags' }).click();
    await page.getByText('No tags yet.').waitFor();
    await assertNothingFound(page, 'tags');
    await page.getByLabel('How many blank tags').fill('3');
    await page.getByRole('button', { name: 'Make tags' }).click();
    await page.getByText('3 labels on 1 sheet').waitFor();
    const sheet = page.getByRole('img', { name: 'Page 1 of 1 as it will be printed' });
    await expect.poll(() => sheet.evaluate((image) => Reflect.get(image, 'naturalWidth') > 0)).toBe(true);
    await assertNothingFound(page, 'labels');
  });

  it('says what to do on every screen that is still empty', async () => {
    const { page } = desk;
    for (const [link, words] of [
      ['Counts', 'No count yet.'],
      ['Still out there', 'Nothing is out there.'],
    ] as const) {
      await page.getByRole('link', { name: link }).click();
      await page.getByText(words).waitFor();
      await assertNothingFound(page, link);
    }
  });
});
