// Where everything is, in a real browser: the tree by keys, moving things by keys and by hand with undo, and a place's lists.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { PLAIN_FACTS } from '#domain/thing.ts';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

const idSchema = z.looseObject({ id: z.string() });

describe('where everything is', () => {
  let desk: Desk;
  const made = new Map<string, string>();
  const idOf = (name: string): string => made.get(name) ?? 'not made';

  async function make(
    path: string,
    facts: Record<string, unknown> & { readonly name: string },
  ): Promise<void> {
    const reply = await desk.ask('POST', path, { body: facts });
    expect(reply.status, JSON.stringify(reply.body)).toBe(201);
    made.set(facts.name, idSchema.parse(reply.body).id);
  }
  const place = (kind: string, name: string, parentId: string | null = null) =>
    make('/api/places', { kind, name, parentId, sort: 0, zone: null, address: null, note: null });
  const thing = (path: string, name: string, facts: Record<string, unknown> = {}) =>
    make(path, { ...PLAIN_FACTS, name, ...facts });
  const home = (name: string, number = 1) => [{ way: 'driving', placeId: idOf(name), number }];

  beforeAll(async () => {
    desk = await openDesk([/412 \(Precondition Failed\)/, /415 \(Unsupported Media Type\)/]);
    const outfit = { name: 'Two in the reeds', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric' };
    const rest = { yearEnd: '12-31', mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] };
    await desk.ask('PUT', '/api/outfit', { body: { ...outfit, ...rest } });
    await place('store', 'Boathouse');
    await thing('/api/items', 'Bittern', { vehicle: true, placeId: idOf('Boathouse') });
    await place('compartment', 'Left drawer', idOf('Bittern'));
    await place('compartment', 'Right drawer', idOf('Bittern'));
    await thing('/api/items', 'Grip box', { container: true, placeId: idOf('Left drawer') });
    await thing('/api/items', 'Card pouch', { container: true, placeId: idOf('Grip box') });
    await thing('/api/items', 'Marsh lamp', { placeId: idOf('Left drawer'), homes: home('Left drawer') });
    await thing('/api/items', 'Long lens', { placeId: idOf('Left drawer'), homes: home('Right drawer') });
    await thing('/api/counted-gear', 'Clamp', {
      placeId: idOf('Left drawer'),
      number: 12,
      homes: home('Left drawer', 12),
    });
  });
  afterAll(async () => {
    await desk.close();
  });

  const row = (name: RegExp) => desk.page.getByRole('treeitem', { name });
  const open = async (name: string) => {
    await desk.page.goto(`${desk.origin}/where/${idOf(name)}`);
    await desk.page.getByRole('heading', { level: 2, name: new RegExp(name) }).waitFor();
  };
  const line = (name: string) => desk.page.getByRole('row', { name: new RegExp(`Choose ${name}`) });
  const done = (words: string) => desk.page.getByRole('status').filter({ hasText: words });

  it('goes through the tree by keys and letters, and keeps what is open in the address', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/where`);
    await row(/Boathouse/).focus();
    await page.keyboard.press('b');
    await expect.poll(() => page.locator('[role=treeitem]:focus').textContent()).toMatch(/Bittern/);
    await page.keyboard.press('End');
    await expect.poll(() => page.locator('[role=treeitem]:focus').textContent()).toMatch(/Right drawer/);
    await page.keyboard.type('left');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 2, name: /Left drawer/ }).waitFor();
    await row(/Left drawer/).focus();
    // Closes the drawer, goes out to the vehicle, closes that: each once the one before is in the address.
    await page.keyboard.press('ArrowLeft');
    await expect.poll(() => row(/Left drawer/).getAttribute('aria-expanded')).toBe('false');
    await page.keyboard.press('ArrowLeft');
    await expect.poll(() => page.locator('[role=treeitem]:focus').textContent()).toMatch(/Bittern/);
    await page.keyboard.press('ArrowLeft');
    await expect.poll(() => row(/Right drawer/).count()).toBe(0);
    await page.reload();
    await row(/Bittern/).waitFor();
    expect(await row(/Right drawer/).count()).toBe(0);
    await assertNothingFound(page, 'the tree');
  });

  it('moves a thing by m, a few letters and Enter, and takes it back', async () => {
    const { page } = desk;
    await open('Left drawer');
    await page.getByRole('checkbox', { name: 'Choose Marsh lamp' }).focus();
    await page.keyboard.press('m');
    await page.getByRole('combobox', { name: 'Where to' }).fill('right');
    await assertNothingFound(page, 'the question where to');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await done('Marsh lamp: to Right drawer.').waitFor();
    await expect.poll(() => line('Marsh lamp').count()).toBe(0);
    await page.getByRole('button', { name: 'Undo' }).click();
    await done('Taken back.').waitFor();
    await line('Marsh lamp').waitFor();
  });

  it('asks how many of counted gear go', async () => {
    const { page } = desk;
    await open('Left drawer');
    await page.getByRole('checkbox', { name: 'Choose Clamp' }).check();
    await page.getByRole('button', { name: 'Move …' }).click();
    await page.getByRole('combobox', { name: 'Where to' }).fill('boath');
    await page.keyboard.press('Enter');
    await page.getByLabel('How many: Clamp').fill('5');
    await page.getByRole('button', { name: 'Move', exact: true }).click();
    await done('Clamp: to Boathouse.').waitFor();
    await line('Clamp').getByRole('cell', { name: '7', exact: true }).waitFor();
    await page.getByRole('button', { name: /Missing from it/ }).click();
    await page.getByRole('row', { name: /Clamp.*12.*7.*5 in Boathouse/ }).waitFor();
    await assertNothingFound(page, 'what is missing');
  });

  it('moves what is dragged onto a place of the tree, all that is chosen along', async () => {
    const { page } = desk;
    await open('Left drawer');
    await page.getByRole('checkbox', { name: 'Choose Long lens' }).check();
    await page.getByRole('checkbox', { name: 'Choose Marsh lamp' }).check();
    await line('Long lens').dragTo(row(/Right drawer/));
    await done('2 things: to Right drawer.').waitFor();
    await open('Right drawer');
    await line('Long lens').waitFor();
    await page.getByRole('button', { name: /To put away/ }).click();
    await line('Marsh lamp').waitFor();
    await expect.poll(() => line('Long lens').count()).toBe(0);
    await assertNothingFound(page, 'what is to be put away');
  });

  it('says why a case can’t go into what is in it, and why a drawer can’t go anywhere', async () => {
    const { page } = desk;
    await open('Grip box');
    await row(/Grip box/).dragTo(row(/Card pouch/));
    await page.getByRole('alert').filter({ hasText: 'because Card pouch is inside it' }).waitFor();
    await row(/Right drawer/).dragTo(row(/Boathouse/));
    await page
      .getByRole('alert')
      .filter({ hasText: 'Right drawer is a fixed part of Bittern and does not move.' })
      .waitFor();
    await row(/Bittern/).focus();
    await page.keyboard.press('Shift+M');
    await page.getByRole('combobox', { name: 'Where to' }).fill('left drawer');
    await page.keyboard.press('Enter');
    await page.getByText('because Left drawer is inside it').waitFor();
    await page.keyboard.press('Escape');
  });

  it('puts a compartment before its neighbour by Alt and an arrow', async () => {
    const { page } = desk;
    await open('Left drawer');
    const drawers = () => page.getByRole('treeitem', { name: /drawer/ }).allTextContents();
    expect((await drawers())[0]).toMatch(/Left drawer/);
    await row(/Right drawer/).focus();
    await page.keyboard.press('Alt+ArrowUp');
    await expect.poll(async () => (await drawers())[0]).toMatch(/Right drawer/);
  });

  it('makes a compartment, and renames it under its version with both versions shown', async () => {
    const { page } = desk;
    await open('Bittern');
    await page.getByRole('button', { name: 'Make a place' }).click();
    await page.getByLabel('Name').fill('Roof box');
    await page.getByRole('button', { name: 'Make it' }).click();
    await page.getByRole('heading', { level: 2, name: /Roof box/ }).waitFor();
    await page.getByRole('button', { name: 'Edit' }).click();
    const form = page.getByRole('form', { name: 'Edit the place' });
    await form.getByLabel('Name').fill('Roof trunk');
    const id = z.string().parse(new URL(page.url()).pathname.split('/').at(-1));
    const facts = { kind: 'compartment', name: 'Top box', parentId: idOf('Bittern'), sort: 0 };
    await desk.ask('PUT', `/api/places/${id}`, {
      body: { ...facts, zone: null, address: null, note: null },
      headers: { 'if-match': '"1"' },
    });
    await form.getByRole('button', { name: 'Save' }).click();
    await form.getByRole('row', { name: 'Name Roof trunk Top box' }).waitFor();
    await assertNothingFound(page, 'both versions of a place');
    await form.getByRole('button', { name: 'Save yours over it' }).click();
    await page.getByRole('heading', { level: 2, name: /Roof trunk/ }).waitFor();
  });

  it('keeps a picture of a place, and refuses what is none in words', async () => {
    const { page } = desk;
    await open('Left drawer');
    const field = page.locator('input[type=file]');
    // The smallest PNG there is: one transparent pixel.
    const pixel =
      'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==';
    await field.setInputFiles({
      name: 'drawer.png',
      mimeType: 'image/png',
      buffer: Buffer.from(pixel, 'base64'),
    });
    await page.getByRole('img', { name: 'How Left drawer looks when it is right' }).waitFor();
    await page.getByText('Replace the picture').waitFor();
    await field.setInputFiles({ name: 'list.png', mimeType: 'image/png', buffer: Buffer.from('a list') });
    await page.getByRole('alert').filter({ hasText: 'This is not a picture.' }).waitFor();
    await page.getByRole('img', { name: 'How Left drawer looks when it is right' }).waitFor();
  });
});
