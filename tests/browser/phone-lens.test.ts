// A phone with several lenses: the person chooses one, and the phone keeps the choice.
import { randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { axe, openBrowser } from './browser.ts';
import { makeVideo } from './making-video.ts';
import {
  buildPhonePage,
  itemFacts,
  nameOutfit,
  type PhoneService,
  placeFacts,
  startPhoneService,
} from './phone-service.ts';

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, locale: 'en-GB' };

let built: Awaited<ReturnType<typeof buildPhonePage>>;
let service: PhoneService;
let folder: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'tailcount-lens-'));
  built = await buildPhonePage();
  service = await startPhoneService(built.folder);
  service.setDaysAgo(2);
  await nameOutfit(service);
  await service.make('/api/people', { name: 'Ida', role: 'owner' });
  const store = await service.make('/api/places', placeFacts('store', 'Boathouse'));
  await service.make('/api/items', itemFacts('Bittern', store, { vehicle: true }));
  service.setDaysAgo(0);
  const [id, placeId] = [randomUUID(), randomUUID()];
  const place = { id: placeId, name: 'Reedbed hide', isNew: true };
  const stop = { id, jobId: null, name: 'Reedbed hide', kind: 'location', zone: 'Europe/Lisbon' };
  const made = await service.ask('PUT', `/api/stops/${id}`, {
    ...stop,
    ...{ startsAt: Date.now() - 60_000, unnamed: false, place },
  });
  expect(made.status, made.text).toBe(201);
});
afterAll(async () => {
  await service.stop();
  built.remove();
  rmSync(folder, { recursive: true, force: true });
});

async function withCamera(camera: string, look: Parameters<typeof onCamera>[1]): Promise<void> {
  const opened = await openBrowser({ context: PHONE, camera });
  try {
    await onCamera(opened, look);
  } finally {
    await opened.close();
  }
}

type Opened = Awaited<ReturnType<typeof openBrowser>>;

async function onCamera({ page }: Opened, look: (page: Opened['page']) => Promise<void>): Promise<void> {
  await page.goto(`${service.origin}/scan/`);
  await page.getByRole('button', { name: /^Going in/ }).tap();
  await page.getByRole('button', { name: 'Scan' }).tap();
  await page.getByRole('region', { name: 'Camera' }).waitFor();
  await look(page);
}

test('of two lenses the other is chosen, looks at once, and is the one after the camera was closed', async () => {
  await withCamera('two', async (page) => {
    const lens = page.getByRole('combobox', { name: 'Lens' });
    await lens.waitFor();
    expect(await lens.getByRole('option').count()).toBe(2);
    const first = await lens.inputValue();
    const other = await lens
      .getByRole('option')
      .evaluateAll(
        (options, known) => options.map((option) => option.getAttribute('value')).find((id) => id !== known),
        first,
      );
    await lens.selectOption(other ?? '');
    await expect.poll(() => lens.inputValue()).toBe(other);
    const looking = () =>
      page.locator('video').evaluate((video: HTMLVideoElement) => {
        const stream = video.srcObject;
        return stream instanceof MediaStream ? stream.getVideoTracks()[0]?.getSettings().deviceId : null;
      });
    await expect.poll(looking, { timeout: 15_000 }).toBe(other);
    expect(await axe(page, { enhancedContrast: true })).toEqual([]);
    await page.getByRole('button', { name: 'Close the camera' }).tap();
    await page.getByRole('button', { name: 'Scan' }).tap();
    await expect.poll(looking, { timeout: 15_000 }).toBe(other);
    await expect.poll(() => lens.inputValue()).toBe(other);
  });
});

test('where there is one lens nothing is asked', async () => {
  const film = makeVideo(join(folder, 'film.y4m'), [{ kind: 'qrcode', text: 'NOTHING-OF-OURS' }]);
  await withCamera(film, async (page) => {
    await page.locator('.answer').getByText('Unknown').waitFor({ timeout: 20_000 });
    expect(await page.getByRole('combobox', { name: 'Lens' }).count()).toBe(0);
  });
});
