// Finding and editing in a real browser: where each hit is now, filters in the address, the keyboard, and a selection that
// is edited with a preview and put back.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

describe('find', () => {
  let desk: Desk;
  beforeAll(async () => {
    desk = await openDesk();
    await desk.ask('POST', '/api/demo', { body: {} });
    await desk.page.goto(`${desk.origin}/find`);
  });
  afterAll(async () => {
    await desk.close();
  });

  const rows = () => desk.page.getByRole('region', { name: 'Found' }).getByRole('row');
  const params = () => Object.fromEntries(new URL(desk.page.url()).searchParams);

  it('follows the typing, and each hit says where it is now', async () => {
    const { page } = desk;
    await page.getByText('Type what you know of it.').waitFor();
    await assertNothingFound(page, 'find before anything is typed');
    await page.keyboard.press('/');
    await page.keyboard.type('camra b cage');
    const row = rows().filter({ hasText: 'Camera B cage' });
    await row.getByText('is spelt like it').waitFor();
    await row.getByRole('link', { name: 'Bittern' }).waitFor();
    expect(params()).toEqual({ q: 'camra b cage' });
    await assertNothingFound(page, 'find');
  });

  it('goes through the lines with the arrows, opens one with Enter, and comes back to the same list', async () => {
    const { page } = desk;
    await page.getByRole('searchbox').fill('camera');
    await rows().filter({ hasText: 'Camera A matte box' }).waitFor();
    await page.getByRole('searchbox').press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    const focused = () => page.evaluate(() => document.activeElement?.textContent);
    expect(await focused()).toBe('Camera A base plate');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('q');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Camera A' }).waitFor();
    await page.goBack();
    await rows().filter({ hasText: 'Camera A matte box' }).waitFor();
    expect(params()).toEqual({ q: 'camera' });
  });

  it('narrows by chips that stand in the address, and an address can be opened as it is', async () => {
    const { page } = desk;
    await page.getByRole('button', { name: 'counted gear' }).click();
    await rows().filter({ hasText: 'Camera battery 98 Wh' }).waitFor();
    await expect.poll(() => rows().filter({ hasText: 'Camera A' }).count()).toBe(0);
    expect(params()).toEqual({ q: 'camera', kind: 'counted' });
    const address = page.url();
    await page.goto('about:blank');
    await page.goto(address);
    await rows().filter({ hasText: 'Camera battery 98 Wh' }).waitFor();
    expect(await page.getByRole('button', { name: 'counted gear' }).getAttribute('aria-pressed')).toBe(
      'true',
    );
    await page.getByRole('button', { name: 'Take all filters off' }).click();
    await rows().filter({ hasText: 'Camera A matte box' }).waitFor();
    await page.getByLabel('Sorted by').selectOption('value');
    await expect.poll(() => rows().nth(1).textContent()).toContain('Camera A');
  });

  it('shows what a change will do line by line, does it, and puts it back', async () => {
    const { page, ask } = desk;
    const countryOf = async (id: string) => (await ask('GET', `/api/things/${id}`)).body.country;
    await page.goto(`${desk.origin}/find?q=camera+b&order=name`);
    const first = rows().filter({ hasText: 'Camera B cage' }).getByRole('link').first();
    await first.focus();
    await page.keyboard.press('x');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('x');
    await page.getByText('2 selected').waitFor();
    await assertNothingFound(page, 'a selection');
    const id = (await first.getAttribute('data-found')) ?? '';
    const before = await countryOf(id);
    await page.keyboard.press('e');
    await page.getByRole('heading', { name: 'Edit 2 things' }).waitFor();
    await page.getByRole('button', { name: 'Show what will happen' }).click();
    await page.getByText('Choose what to change.').waitFor();
    await page.getByRole('button', { name: 'made in' }).click();
    await page.getByLabel('Made in').fill('is');
    await assertNothingFound(page, 'what to change');
    await page.getByRole('button', { name: 'Show what will happen' }).click();
    await page.getByText('2 change', { exact: true }).waitFor();
    await assertNothingFound(page, 'what will happen');
    expect(await countryOf(id)).toBe(before);
    await page.getByRole('button', { name: 'Change 2 things' }).click();
    await page.getByText('2 changed. It can be put back').waitFor();
    expect(await countryOf(id)).toBe('IS');
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('Put back as it was.').waitFor();
    expect(await countryOf(id)).toBe(before);
    await page.getByRole('button', { name: 'Back to the list' }).click();
    await rows().first().waitFor();
    expect(await page.getByText('selected').count()).toBe(0);
  });

  it('names what somebody changed meanwhile, and changes the rest', async () => {
    const { page, ask } = desk;
    await page.goto(`${desk.origin}/find?q=camera+b&order=name`);
    await page.getByRole('button', { name: 'Select all' }).click();
    await page.getByText(/\d+ selected/).waitFor();
    const id = (await rows().nth(1).getByRole('link').first().getAttribute('data-found')) ?? '';
    const { body } = await ask('GET', `/api/things/${id}`);
    const groups = [{ set: { maker: 'Somebody else' }, things: [{ id, version: body.version }] }];
    expect((await ask('POST', '/api/thing-edits', { body: { groups, preview: false } })).status).toBe(200);
    await page.getByRole('button', { name: /^Edit them/ }).click();
    await page.getByRole('button', { name: 'bought from' }).click();
    await page.getByLabel('Bought from').fill('A shop by the weir');
    await page.getByRole('button', { name: 'Show what will happen' }).click();
    await page.getByText('Somebody changed it meanwhile.').waitFor();
    await page.getByText(/1 is left out/).waitFor();
  });
});
