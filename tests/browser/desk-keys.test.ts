// The frame of the desk with the keyboard alone: everything by typing, the list of keys, where the focus goes, and what
// back shows. The combobox is held against the ARIA Authoring Practices Guide, pattern "Combobox" (listbox popup).
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

const NARROW = { width: 390, height: 844 };
const WIDE = { width: 1280, height: 800 };

describe('the frame of the desk, by keyboard', () => {
  let desk: Desk;
  beforeAll(async () => {
    desk = await openDesk();
    await desk.ask('POST', '/api/demo', { body: {} });
  });
  afterAll(async () => {
    await desk.close();
  });

  const offered = () => desk.page.getByRole('listbox', { name: 'Offered' });
  const focused = () => desk.page.evaluate(() => document.activeElement?.textContent ?? '');

  it('opens everything by typing with Ctrl and K, also out of a field, and closes it with Escape', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/counts`);
    await page.getByRole('heading', { level: 1, name: 'Counts' }).waitFor();
    await page.keyboard.press('/');
    await page.keyboard.press('Control+k');
    const box = page.getByRole('combobox', { name: 'Go to, find or do' });
    await box.waitFor();
    await expect.poll(() => box.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.keyboard.press('Escape');
    await expect.poll(() => box.count()).toBe(0);
    expect(await page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('q');
  });

  it('goes to a screen, a thing and a place, found by letters that are not quite theirs', async () => {
    const { page } = desk;
    const goTo = async (text: string, name: RegExp) => {
      await page.keyboard.press('Control+k');
      const box = page.getByRole('combobox', { name: 'Go to, find or do' });
      await box.waitFor();
      await page.keyboard.type(text);
      await offered().getByRole('option', { name }).first().waitFor();
      // The line that Enter will take is named by the field, and is marked as such.
      const meant = offered().getByRole('option', { selected: true });
      await expect.poll(() => meant.textContent()).toMatch(name);
      expect(await box.getAttribute('aria-activedescendant')).toBe(await meant.getAttribute('id'));
      await assertNothingFound(page, 'the palette');
      await page.keyboard.press('Enter');
    };
    await goTo('STILL', /Still out there/);
    await page.getByRole('heading', { level: 1, name: 'Still out there' }).waitFor();
    await goTo('camera a base', /Camera A base plate/);
    await page.getByRole('heading', { level: 1, name: 'Camera A base plate' }).waitFor();
    expect(new URL(page.url()).pathname).toMatch(/^\/things\//);
    await goTo('lef drawr', /Left drawer/);
    await page.waitForURL(/\/where\//);
  });

  it('offers what was used last first, and walks the lines round with the arrows', async () => {
    const { page } = desk;
    await page.keyboard.press('Control+k');
    const options = offered().getByRole('option');
    await options.first().waitFor();
    const names = await options.evaluateAll((all) =>
      all.slice(0, 3).map((one) => one.querySelector('.palette-name')?.textContent),
    );
    expect(names).toEqual(['Left drawer', 'Camera A base plate', 'Still out there']);
    await page.keyboard.press('ArrowUp');
    const last = options.last();
    expect(await last.getAttribute('aria-selected')).toBe('true');
    await page.keyboard.press('ArrowDown');
    expect(await options.first().getAttribute('aria-selected')).toBe('true');
    await page.keyboard.press('Escape');
  });

  it('makes the page dark by typing so, and the choice in the foot follows', async () => {
    const { page } = desk;
    await page.keyboard.press('Control+k');
    await page.keyboard.type('dark');
    await offered().getByRole('option', { name: /^Dark/ }).waitFor();
    await page.keyboard.press('Enter');
    await expect.poll(() => page.evaluate(() => document.documentElement.dataset.theme)).toBe('dark');
    const choice = page.getByLabel('Light or dark');
    await expect.poll(() => choice.inputValue()).toBe('dark');
    await choice.selectOption('as-device');
    expect(await page.evaluate(() => document.documentElement.dataset.theme)).toBeUndefined();
  });

  it('says when nothing is known by what was typed', async () => {
    const { page } = desk;
    await page.locator('body').click({ position: { x: 5, y: 5 } });
    await page.keyboard.press('Control+k');
    await page.keyboard.type('zzqqxx');
    await page.getByText('Nothing is known by “zzqqxx”.').waitFor();
    await page.keyboard.press('Enter');
    const box = page.getByRole('combobox', { name: 'Go to, find or do' });
    expect(await box.count()).toBe(1);
    await page.keyboard.press('Escape');
    await expect.poll(() => box.count()).toBe(0);
  });

  it('lists every letter that goes to a screen, and each of them goes there', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/counts`);
    await page.getByRole('heading', { level: 1, name: 'Counts' }).waitFor();
    await page.keyboard.press('?');
    const dialog = page.getByRole('dialog', { name: 'Keys' });
    await dialog.waitFor();
    await assertNothingFound(page, 'the list of keys');
    const rows = await dialog.getByRole('table', { name: 'On every screen' }).getByRole('row').all();
    const listed = await Promise.all(
      rows.map(async (row) => [
        await row.getByRole('rowheader').textContent(),
        await row.getByRole('cell').textContent(),
      ]),
    );
    await page.keyboard.press('Escape');
    const letters = listed.filter(([key]) => /^[a-z]$/.test(key ?? ''));
    expect(letters.length).toBeGreaterThanOrEqual(5);
    expect(new Set(letters.map(([key]) => key)).size).toBe(letters.length);
    for (const [key, name] of letters) {
      await page.keyboard.press(key ?? '');
      await page
        .getByRole('link', { name: name ?? '', exact: true })
        .and(page.locator('[aria-current=page]'))
        .waitFor();
    }
  });

  it('gives the focus to the heading of the screen that one came to, and names the page', async () => {
    const { page } = desk;
    await page.getByRole('link', { name: 'Counts', exact: true }).click();
    await expect.poll(focused).toBe('Counts');
    expect(await page.title()).toMatch(/^Counts · /);
    await page.getByRole('region', { name: 'Closed', exact: true }).getByRole('link').last().click();
    await expect.poll(() => page.evaluate(() => document.activeElement?.tagName)).toBe('H1');
    expect(await page.title()).not.toMatch(/^Counts · /);
    await page.goBack();
    await expect.poll(focused).toBe('Counts');
    await page.goForward();
    await expect.poll(focused).not.toBe('Counts');
  });

  it('shows a long screen where it was left, when one comes back', async () => {
    const { page } = desk;
    await page.setViewportSize({ width: 1280, height: 420 });
    await page.goto(`${desk.origin}/counts`);
    const link = page.getByRole('region', { name: 'Closed', exact: true }).getByRole('link').last();
    await link.scrollIntoViewIfNeeded();
    const left = await page.evaluate(() => window.scrollY);
    expect(left).toBeGreaterThan(0);
    await link.click();
    await page.waitForURL(/\/counts\/.+/);
    await expect.poll(() => page.evaluate(() => window.scrollY)).toBe(0);
    await page.goBack();
    await expect.poll(() => page.evaluate(() => window.scrollY)).toBe(left);
    await page.setViewportSize(WIDE);
  });

  it('folds the screens behind one button on a narrow screen, and nothing is cut off', async () => {
    const { page } = desk;
    await page.setViewportSize(NARROW);
    await page.goto(`${desk.origin}/still-out`);
    await page.getByRole('heading', { level: 1, name: 'Still out there' }).waitFor();
    const fold = page.getByRole('button', { name: 'Screens, now Still out there' });
    await fold.click();
    const link = page.getByRole('link', { name: 'Tags', exact: true });
    await link.waitFor();
    await assertNothingFound(page, 'the folded screens');
    const beyond = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    expect(beyond).toBeLessThanOrEqual(0);
    await link.click();
    await page.getByRole('heading', { level: 1, name: 'Tags' }).waitFor();
    expect(await page.getByRole('link', { name: 'Tags', exact: true }).isVisible()).toBe(false);
    await page.setViewportSize(WIDE);
  });
});
