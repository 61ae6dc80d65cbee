// Nothing goes with the laptop, at the desk: a folder is named, a backup is made and checked, and trouble is said everywhere.
import { chmodSync, mkdirSync, mkdtempSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

let desk: Desk;
const home = mkdtempSync(join(tmpdir(), 'tailcount-desk-backup-'));
const folder = join(home, 'stick');
beforeAll(async () => {
  chmodSync(home, 0o755);
  mkdirSync(folder);
  // A folder that is not there is refused with 422, which the browser writes to its console.
  desk = await openDesk([/422 \(Unprocessable/]);
  const outfit = {
    ...{ name: 'Reed and Mud Films', currency: 'EUR', zone: 'Europe/Lisbon', units: 'metric' },
    ...{ yearEnd: '12-31', mainsVolts: 230, dayTurnsMinutes: 300, lastLook: [] },
  };
  expect((await desk.ask('PUT', '/api/outfit', { body: outfit })).status).toBe(201);
});
afterAll(async () => {
  await desk.close();
  rmSync(home, { recursive: true, force: true });
});

test('the owner names a folder with the keyboard, backs up, and sees it restored and compared', async () => {
  const { page, origin } = desk;
  await page.goto(`${origin}/`);
  await page.getByText('There is no gear here yet.').waitFor();
  await page.keyboard.press('k');
  await page.getByRole('heading', { name: 'Backup', exact: true }).waitFor();
  await page.getByText('No backup yet').waitFor();
  expect(await page.getByRole('button', { name: 'Back up now' }).isDisabled()).toBe(true);
  await assertNothingFound(page, 'a backup screen without a folder');

  const field = page.getByLabel('Folder on the machine that runs the service');
  await field.fill(join(home, 'gone'));
  await page.keyboard.press('Enter');
  await page.getByText('is not there. Put the stick or the disk back in, or name another folder.').waitFor();
  await assertNothingFound(page, 'a folder that is not there');
  await field.fill(folder);
  await page.keyboard.press('Enter');
  await page.getByText('No backup of this outfit is there yet.').waitFor();

  await page.getByRole('button', { name: 'Back up now' }).press('Enter');
  const row = page.getByRole('row').filter({ hasText: 'restored and compared' });
  await row.waitFor();
  const [name = ''] = readdirSync(folder);
  expect(await row.getByRole('cell', { name }).count()).toBe(1);
  expect(await page.getByRole('region', { name: 'Last good backup' }).textContent()).toContain('just now');
  await assertNothingFound(page, 'a backup that is good');
});

test('a backup that went wrong is said on every screen, with the way to where it is put right', async () => {
  const { page, origin, ask } = desk;
  await ask('PUT', '/api/backup', { body: { folder } });
  renameSync(folder, `${folder}-out`);
  expect((await ask('POST', '/api/backup', { body: {} })).status).toBe(422);
  await page.goto(`${origin}/counts`);
  const notice = page.getByRole('status').filter({ hasText: 'The last backup went wrong' });
  await notice.waitFor();
  await assertNothingFound(page, 'a screen with the notice');
  await notice.getByRole('link', { name: 'See to it' }).click();
  await page
    .getByRole('alert')
    .filter({ hasText: `The folder ${folder} is not there.` })
    .waitFor();
  expect(await notice.count()).toBe(0);
  await assertNothingFound(page, 'a backup screen in trouble');
});
