// The desk over the demo outfit: counts, what is still out there, undo, and what it shows while the service is away.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

describe('the desk over the demo outfit', () => {
  let desk: Desk;
  beforeAll(async () => {
    desk = await openDesk([
      /404 \(Not Found\).*\/api\/outfit/,
      /ERR_CONNECTION_REFUSED|ERR_INCOMPLETE_CHUNKED_ENCODING|ERR_EMPTY_RESPONSE/,
    ]);
    const { page } = desk;
    await page.goto(desk.origin);
    await page.getByRole('button', { name: 'Open the demo outfit' }).click();
    await page.getByRole('tree', { name: 'Where' }).waitFor({ timeout: 60_000 });
  });
  afterAll(async () => {
    await desk.close();
  });

  it('stands in the tree with the vehicle open', async () => {
    const { page } = desk;
    await page
      .getByRole('treeitem', { name: /Left drawer/ })
      .first()
      .click();
    await page.getByRole('heading', { level: 2 }).first().waitFor();
    await assertNothingFound(page, 'where');
  });

  it('offers the count that is not closed first, and opens it', async () => {
    const { page } = desk;
    await page.getByRole('link', { name: 'Counts' }).click();
    const open = page.getByRole('region', { name: 'Not closed yet' }).getByRole('link').first();
    const name = (await open.textContent()) ?? '';
    await assertNothingFound(page, 'counts');
    await open.click();
    await page.getByRole('heading', { level: 1, name }).waitFor();
    await page.getByText('Not closed yet.').waitFor();
    await page.getByRole('heading', { name: /Still open/ }).waitFor();
    await assertNothingFound(page, 'an open count');
  });

  it('shows a closed count as closed beside as known now', async () => {
    const { page } = desk;
    await page.getByRole('link', { name: 'Counts' }).click();
    await page.getByRole('region', { name: 'Closed', exact: true }).getByRole('link').first().click();
    const sums = page.getByRole('table', { name: 'Sums' });
    await sums.waitFor();
    expect(await sums.getByRole('columnheader').allTextContents()).toEqual([
      'Sum',
      'As closed',
      'As known now',
    ]);
    await assertNothingFound(page, 'a closed count');
  });

  it('says what is still out there, with days and where it was last put down', async () => {
    const { page, ask } = desk;
    await page.getByRole('link', { name: 'Still out there' }).click();
    const { body } = await ask('GET', '/api/still-out');
    const lines = Array.isArray(body.lines) ? body.lines : [];
    expect(lines.length).toBeGreaterThan(0);
    await page.getByRole('region').first().waitFor();
    expect(await page.locator('tbody tr').count()).toBe(lines.length);
    await assertNothingFound(page, 'still out there');
  });

  it('takes the latest line of a thing back, and shows it as undone', async () => {
    const { page } = desk;
    await page.getByRole('region').first().getByRole('link').first().click();
    const history = page.getByRole('region', { name: 'History' }).getByRole('listitem');
    const undo = page.getByRole('button', { name: 'Undo' });
    const what = await history.filter({ has: undo }).locator('.strong').first().textContent();
    await undo.click();
    await history.filter({ hasText: 'took a line back' }).first().waitFor();
    await history
      .filter({ hasText: `${what} undone` })
      .first()
      .waitFor();
    await assertNothingFound(page, 'a thing');
  });

  it('says when it has no network, and goes on when it is there again', async () => {
    const { page, context } = desk;
    await context.setOffline(true);
    await page.getByRole('link', { name: 'Counts' }).click();
    await page.getByText('The service does not answer. Is it still running on this machine?').waitFor();
    await assertNothingFound(page, 'a screen without an answer');
    await context.setOffline(false);
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByRole('region', { name: 'Closed', exact: true }).waitFor();
  });

  it('keeps on the screen what the service said last, and says that it is away', async () => {
    const { page } = desk;
    await desk.stopService();
    await page.getByText('What you see is what it said last').waitFor();
    expect(await page.getByRole('region', { name: 'Closed', exact: true }).isVisible()).toBe(true);
    await assertNothingFound(page, 'counts while the service is away');
  });
});
