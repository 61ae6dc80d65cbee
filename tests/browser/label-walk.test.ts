// The label walk on the phone: a blank tag is read, its line is tapped, next; with a network and without one.
import { randomUUID } from 'node:crypto';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { thingSchema } from '#domain/thing.ts';
import { axe, openBrowser, type TestBrowser } from './browser.ts';
import {
  buildPhonePage,
  classFacts,
  itemFacts,
  nameOutfit,
  type PhoneService,
  placeFacts,
  startPhoneService,
} from './phone-service.ts';

const madeSchema = z.object({ tags: z.array(z.object({ code: z.string(), shown: z.string() })) });

describe('a label walk', () => {
  let built: Awaited<ReturnType<typeof buildPhonePage>>;
  let service: PhoneService;
  let browser: TestBrowser;
  let page: Page;
  let drawer: string;
  const things = new Map<string, string>();

  beforeAll(async () => {
    built = await buildPhonePage();
    service = await startPhoneService(built.folder);
    await nameOutfit(service);
    const van = await service.make('/api/items', {
      ...itemFacts('Heron', await service.make('/api/places', placeFacts('store', 'Yard'))),
      vehicle: true,
    });
    drawer = await service.make('/api/places', placeFacts('compartment', 'Left drawer', { parentId: van }));
    await service.make('/api/classes', classFacts('Rope'));
    const homes = [{ way: 'driving', placeId: drawer, number: 1 }];
    for (const name of ['Boat hook', 'Float line', 'Landing net'])
      things.set(name, await service.make('/api/items', itemFacts(name, drawer, { homes })));
    browser = await openBrowser({
      context: { viewport: { width: 390, height: 844 }, hasTouch: true, locale: 'en-GB' },
      expected: [/409 \(Conflict\)/],
    });
    page = browser.page;
    await page.goto(`${service.origin}/scan/`);
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByRole('button', { name: 'Put on tags' }).click();
    await page.getByRole('button', { name: /^Left drawer/ }).click();
  });
  afterAll(async () => {
    await browser.close().finally(service.stop);
    built.remove();
  });

  const blank = async () => {
    const { body } = await service.ask('POST', '/api/tags', { blockId: randomUUID(), number: 1 });
    const [tag] = madeSchema.parse(body).tags;
    if (tag === undefined) throw new Error('a block of one has a tag');
    return tag;
  };
  const typeCode = async (code: string) => {
    await page.getByRole('textbox', { name: 'Type a code' }).fill(code);
    await page.getByRole('button', { name: 'Enter' }).click();
  };
  const tap = (name: string) => page.getByRole('button', { name: new RegExp(`^${name}`) }).click();
  const codesOf = async (name: string) =>
    thingSchema.parse((await service.ask('GET', `/api/things/${things.get(name)}`)).body).codes;

  test('puts the tag that was read onto the line that is tapped', async () => {
    await page.getByText('Stick a blank tag on and scan it.').waitFor();
    const { code, shown } = await blank();
    await typeCode(code);
    await page.getByText(`${shown}: tap what it is on.`).waitFor();
    expect(await axe(page, { enhancedContrast: true })).toEqual([]);
    await tap('Float line');
    await page.getByText(`${shown} is on Float line. Next.`).waitFor();
    await expect.poll(() => codesOf('Float line')).toEqual([code]);
    await page.getByRole('list', { name: 'Tagged' }).getByText('Float line').waitFor();
  });

  test('a tag on the wrong thing is moved by reading it again', async () => {
    const [code = ''] = await codesOf('Float line');
    await typeCode(code);
    await page.getByText(/is on Float line\. Tap another line/).waitFor();
    await tap('Landing net');
    await expect.poll(() => codesOf('Landing net')).toEqual([code]);
    expect(await codesOf('Float line')).toEqual([]);
  });

  test('a slip of the finger is said, and nothing is put on', async () => {
    const { code } = await blank();
    const wrong = code.slice(0, -1) + (code.endsWith('A') ? 'B' : 'A');
    await typeCode(wrong);
    await page.getByText(`${wrong} has a mistake in it. Scan it again.`).waitFor();
    await tap('Boat hook');
    await page.getByText('Scan the tag first, then tap Boat hook.').waitFor();
    expect(await codesOf('Boat hook')).toEqual([]);
  });

  test('goes on without a network, survives a reload, and is sent later', async () => {
    const { code } = await blank();
    await browser.context.setOffline(true);
    await typeCode(code);
    await tap('Boat hook');
    await page.getByText('1 entry waits on this phone for the service.', { exact: false }).waitFor();
    await page.getByRole('list', { name: 'Tagged' }).getByText('Boat hook').waitFor();
    expect(await codesOf('Boat hook')).toEqual([]);
    await browser.context.setOffline(false);
    await page.reload();
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByRole('button', { name: 'Put on tags' }).click();
    await expect.poll(() => codesOf('Boat hook')).toEqual([code]);
    await page.getByRole('button', { name: /^Left drawer/ }).click();
  });

  test('a tag that somebody else put elsewhere meanwhile is said, and the line is bare again', async () => {
    const { code } = await blank();
    const other = await service.make('/api/items', itemFacts('Anchor', drawer));
    await browser.context.setOffline(true);
    await typeCode(code);
    await tap('Float line');
    await page.getByRole('list', { name: 'Tagged' }).getByText('Float line').waitFor();
    await service.ask('PUT', `/api/codes/${code}`, { thingId: other });
    await browser.context.setOffline(false);
    const notice = page.getByRole('alert').filter({ hasText: 'Float line' });
    await notice.getByText('This code names something else just now.', { exact: false }).waitFor();
    await notice.getByRole('button', { name: 'Leave it' }).click();
    await page.getByRole('list', { name: 'Without a tag' }).getByText('Float line').waitFor();
    expect(await codesOf('Float line')).toEqual([]);
  });

  test('enters a new thing by picture, class and tag, to be named at the desk', async () => {
    const { code } = await blank();
    await typeCode(code);
    await page.locator('input[type=file]').setInputFiles('web/pictures/phone-count.png');
    await page.getByText('The picture is here.').waitFor();
    await page.getByLabel('Class').selectOption({ label: 'Rope' });
    await page.getByRole('button', { name: 'It is this, and lives here' }).click();
    await page.getByText(/is on Rope, not named yet\. Next\./).waitFor();
    const named = async () => {
      const { body } = await service.ask('GET', `/api/codes/${code}`);
      return { means: body.means, ties: body.ties };
    };
    await expect.poll(named).toMatchObject({ means: 'thing', ties: [{ code, name: 'Rope, not named yet' }] });
    await page.getByRole('list', { name: 'Tagged' }).getByText('Rope, not named yet').waitFor();
    const { body } = await service.ask('GET', `/api/codes/${code}`);
    const [tie] = z.array(z.object({ thingId: z.string() })).parse(body.ties);
    const pictures = async () =>
      (await service.ask('GET', `/api/things/${tie?.thingId}/pictures`)).body.pictures;
    await expect.poll(pictures).toHaveLength(1);
  });
});
