// Jobs, stops and counts at the desk over the demo outfit, and paper: the wrap sheet on one page, and its ticks entered later.
import { randomUUID } from 'node:crypto';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { countSchema } from '#domain/count-shape.ts';
import { localTimeAt } from '#domain/local-time.ts';
import { plainFacts } from '../api/facts.ts';
import { makePhone } from '../api/lines.ts';
import { assertNothingFound, type Desk, openDesk } from './desk-service.ts';

/** Pages of a printed document. Chromium writes each page as an object of its own, in the clear. */
async function pagesOf(page: Page, format: 'A4' | 'Letter'): Promise<number> {
  const pdf = await page.pdf({ format });
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0;
}

describe('jobs, counts and paper over the demo outfit', () => {
  let desk: Desk;
  let count: { readonly stopId: string; readonly path: string };
  beforeAll(async () => {
    desk = await openDesk([
      /404 \(Not Found\).*\/api\/(outfit|counts)/,
      /412 \(Precondition Failed\).*\/api\/jobs/,
    ]);
    const { page } = desk;
    await page.goto(desk.origin);
    await page.getByRole('button', { name: 'Open the demo outfit' }).click();
    await page.getByRole('tree', { name: 'Where' }).waitFor({ timeout: 60_000 });
    const { body } = await desk.ask('GET', '/api/counts?limit=1');
    const stopId = String(Array.isArray(body.counts) ? body.counts[0]?.stopId : '');
    count = { stopId, path: `/counts/${stopId}/1` };
  });
  afterAll(() => desk.close());

  const readCount = async () => countSchema.parse((await desk.ask('GET', `/api${count.path}`)).body);
  const h1 = (name: string | RegExp) => desk.page.getByRole('heading', { level: 1, name }).waitFor();

  it('lists the job that runs, and shows its stops by day, each with its count', async () => {
    const { page } = desk;
    await page.keyboard.press('j');
    await h1('Jobs');
    const running = page.getByRole('region', { name: 'Running' });
    await running.waitFor();
    await assertNothingFound(page, 'jobs');
    await running.getByRole('link').first().click();
    await page.getByRole('link', { name: 'Sluice at dusk' }).waitFor();
    await page.getByText(/opened .*, not closed yet/).waitFor();
    await assertNothingFound(page, 'a job');
    await page.getByRole('link', { name: 'Sluice at dusk' }).click();
    await h1('Sluice at dusk');
    await assertNothingFound(page, 'a stop');
  });

  it('makes a job for a new client and a stop at its own time, and says what a stop without a count needs', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}/jobs`);
    await page.getByRole('button', { name: 'New job' }).click();
    await page.getByLabel('Name of the job').fill('Otters');
    await page.getByLabel('Client', { exact: true }).selectOption('new');
    await page.getByLabel('Name of the client').fill('Reedwater Trust');
    await assertNothingFound(page, 'a new job');
    await page.getByRole('button', { name: 'Make the job' }).click();
    await h1('Otters');
    await page.getByText('Reedwater Trust').waitFor();
    await page.getByRole('button', { name: 'New stop' }).click();
    await page.getByLabel('Name of the stop').fill('Holt by night');
    await page.getByLabel('Time zone').fill('Europe/Lisbon');
    await page.getByLabel('Begins').fill('2027-02-03T00:20');
    await assertNothingFound(page, 'a new stop');
    await page.getByRole('button', { name: 'Make the stop' }).click();
    await h1('Holt by night');
    await page.getByText('No count here yet.').waitFor();
    await page.getByRole('link', { name: 'Otters' }).click();
    // Twenty past midnight still belongs to the evening before.
    await page.getByRole('heading', { name: /Tuesday,? 2 February 2027/ }).waitFor();
  });

  it('shows both when two people edited one job, and overwrites nothing unasked', async () => {
    const { page, ask } = desk;
    const facts = { name: 'Bitterns', partyId: null, startsOn: null, endsOn: null, note: null };
    const made = await ask('POST', '/api/jobs', { body: facts });
    await page.goto(`${desk.origin}/jobs/${String(made.body.id)}?do=edit`);
    await page.getByLabel('Name of the job').fill('Bitterns, mine');
    const other = { body: { ...facts, note: 'bring waders' }, headers: { 'if-match': '"1"' } };
    expect((await ask('PUT', `/api/jobs/${String(made.body.id)}`, other)).status).toBe(200);
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await page.getByText('Somebody changed this while you were typing').waitFor();
    await page.getByRole('alert').getByText('bring waders').waitFor();
    await assertNothingFound(page, 'a job that two people edited');
    expect((await ask('GET', `/api/jobs/${String(made.body.id)}`)).body.name).toBe('Bitterns');
    await page.getByRole('button', { name: 'Write mine over it' }).click();
    await page.getByRole('button', { name: 'Keep the changes' }).click();
    await h1('Bitterns, mine');
    expect((await ask('GET', `/api/jobs/${String(made.body.id)}`)).body.note).toBeNull();
  });

  it('follows a count while two phones scan, and marks what is new, by whom and how', async () => {
    const { page, ask } = desk;
    await page.goto(`${desk.origin}${count.path}`);
    await h1('Sluice at dusk');
    const before = await readCount();
    const open = before.lines.filter(({ state, kind }) => state === 'open' && kind === 'item').slice(0, 2);
    await page
      .getByText(/^\d+ of \d+$/)
      .first()
      .waitFor();
    for (const [index, line] of open.entries()) {
      const phone = makePhone();
      const more = { why: 'wrap', stopId: count.stopId, round: 1, check: index === 0 ? 'scanned' : 'seen' };
      const movements = [phone.move(Date.now(), line.thingId, line.compartmentId, more)];
      await ask('POST', '/api/movements', { body: { clocks: phone.clocks, movements } });
    }
    await page.getByText('2 answered since you opened this page').waitFor();
    const fresh = page.locator('.count-latest .is-new');
    await expect.poll(() => fresh.allTextContents()).toHaveLength(2);
    const told = (await fresh.allTextContents()).join(' | ');
    for (const words of [open[0]?.name, open[1]?.name, 'phone A', 'phone B', 'scanned', 'seen'])
      expect(told).toContain(words);
    await assertNothingFound(page, 'a count that goes on');
  });

  it('prints a count with its heads on every page, and the wrap sheet on one page, A4 and Letter', async () => {
    const { page } = desk;
    await page.goto(`${desk.origin}${count.path}`);
    await page.getByRole('heading', { name: /Still open/ }).waitFor();
    // That a longer print is counted as such says that the count of pages can tell.
    expect(await pagesOf(page, 'A4')).toBeGreaterThan(1);
    await page.getByRole('link', { name: 'Wrap sheet' }).click();
    await page.getByRole('article', { name: 'Wrap sheet' }).waitFor();
    expect(await pagesOf(page, 'A4')).toBe(1);
    expect(await pagesOf(page, 'Letter')).toBe(1);
    await assertNothingFound(page, 'the wrap sheet');
  });

  it('enters ticks from paper with the keyboard, dated as of then, and takes them back', async () => {
    const { page } = desk;
    const before = await readCount();
    const [line] = before.lines.filter(({ state, kind }) => state === 'open' && kind === 'item');
    const stop = (await desk.ask('GET', `/api/stops/${count.stopId}`)).body;
    const zone = String(stop.zone);
    await page.goto(`${desk.origin}${count.path}/from-paper`);
    await page
      .getByRole('checkbox', { name: line?.name ?? '' })
      .first()
      .focus();
    await page.keyboard.press('Space');
    const when = page.getByLabel('Ticked as of');
    await when.fill(localTimeAt(Date.now() + 86_400_000, zone));
    await page.getByRole('button', { name: 'Enter 1 tick' }).click();
    await page.getByText('This time has not come yet.').waitFor();
    await when.fill(localTimeAt(before.openedAt - 86_400_000, zone));
    await page.getByRole('button', { name: 'Enter 1 tick' }).click();
    await page.getByText('a sheet cannot answer before that').waitFor();
    await assertNothingFound(page, 'ticks from paper');
    // The minute of the opening is right after the opening.
    await when.fill(localTimeAt(before.openedAt, zone));
    await page.getByRole('button', { name: 'Enter 1 tick' }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('1 line is in the ledger, marked “on paper”.').waitFor();
    const stateOf = async () => (await readCount()).lines.find(({ thingId }) => thingId === line?.thingId);
    expect(await stateOf()).toMatchObject({
      state: 'aboard',
      said: { said: 'on-paper', at: before.openedAt + 1 },
    });
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('1 line is in the ledger').waitFor({ state: 'detached' });
    expect((await stateOf())?.state).toBe('open');
  });

  it('opens a count from paper where no phone did', async () => {
    const { page, ask } = desk;
    const id = randomUUID();
    const place = { id: randomUUID(), name: 'Far bank', isNew: true };
    const facts = { jobId: null, name: 'Far bank', kind: 'location', zone: 'Europe/Lisbon', unnamed: false };
    const startsAt = Date.now() - 7_200_000;
    await ask('PUT', `/api/stops/${id}`, { body: { id, ...facts, startsAt, place } });
    await page.goto(`${desk.origin}/counts/${id}/1`);
    await page.getByText('Nobody has opened this count.').waitFor();
    await assertNothingFound(page, 'a stop without a count');
    await page.getByRole('link', { name: 'Enter ticks from paper' }).click();
    const begun = localTimeAt(Date.now() - 3_600_000, 'Europe/Lisbon');
    await page.getByLabel('Begun').fill(begun);
    await page.getByRole('button', { name: 'Open the count as of then' }).click();
    await page.getByLabel('Ticked as of').waitFor();
    const opened = countSchema.parse((await ask('GET', `/api/counts/${id}/1`)).body);
    expect(localTimeAt(opened.openedAt, 'Europe/Lisbon')).toBe(begun);
  });
});

describe('a wrap sheet with 300 things out', () => {
  let desk: Desk;
  beforeAll(async () => {
    desk = await openDesk();
  });
  afterAll(() => desk.close());

  it('is still one page, A4 and Letter, with long names and forty compartments', async () => {
    const { ask, page, origin } = desk;
    const make = async (path: string, body: object) => {
      const reply = await ask('POST', path, { body });
      expect(reply.status, reply.text).toBe(201);
      return String(reply.body.id);
    };
    const long = 'a place with a very long name that nobody would ever write on a label';
    const outfit = { name: `Reed ${long}`, currency: 'EUR', zone: 'UTC', units: 'metric', yearEnd: '12-31' };
    const lastLook = Array.from({ length: 20 }, (_, n) => `${n} ${long}`);
    await ask('PUT', '/api/outfit', { body: { ...outfit, mainsVolts: 230, dayTurnsMinutes: 0, lastLook } });
    const truck = await make('/api/items', { ...plainFacts, name: `Truck ${long}`, vehicle: true });
    const placeFacts = { sort: 0, zone: null, address: null, note: null };
    const drawers: string[] = [];
    for (let n = 0; n < 40; n += 1) {
      const facts = { kind: 'compartment', name: `${n} ${long}`, parentId: truck, ...placeFacts };
      drawers.push(await make('/api/places', facts));
    }
    const hide = await make('/api/places', { kind: 'location', name: long, parentId: null, ...placeFacts });
    const phone = makePhone();
    const movements: object[] = [];
    const began = Date.now() - 3_600_000;
    for (let n = 0; n < 340; n += 1) {
      const whose = n % 4 === 0 ? 'client' : 'ours';
      const id = await make('/api/items', { ...plainFacts, name: `${n} lamp ${long}`, whose });
      const drawer = drawers[n % drawers.length] ?? truck;
      movements.push(phone.move(began + n, id, drawer, { why: 'bring-in' }));
      // The last forty stay aboard, so that there is something not to lose as well.
      if (n < 300)
        movements.push(phone.move(began + 1_000_000 + n, id, hide, { spot: `${n} on the rail ${long}` }));
    }
    movements.sort((a, b) => Number(Reflect.get(a, 'deviceAt')) - Number(Reflect.get(b, 'deviceAt')));
    const numbered = movements.map((line, at) => ({ ...line, deviceNo: at + 1 }));
    const written = await ask('POST', '/api/movements', {
      body: { clocks: phone.clocks, movements: numbered },
    });
    expect(written.status, written.text).toBe(200);
    const stop = randomUUID();
    const place = { id: hide, name: long, isNew: false };
    const facts = { jobId: null, name: long, kind: 'location', zone: 'UTC', startsAt: began, unnamed: false };
    expect((await ask('PUT', `/api/stops/${stop}`, { body: { id: stop, ...facts, place } })).status).toBe(
      201,
    );
    await page.goto(`${origin}/counts/${stop}/1/sheet`);
    await page
      .getByText(/and \d+ more that this page has no room for/)
      .first()
      .waitFor();
    expect(await pagesOf(page, 'A4')).toBe(1);
    expect(await pagesOf(page, 'Letter')).toBe(1);
    expect(await roomToWrite(page)).toBeGreaterThan(24);
  });
});

/** How many millimetres of the sheet are left to write on, on paper: what is cut off at its foot would leave none. */
async function roomToWrite(page: Page): Promise<number> {
  const pixelsOfMm = 96 / 25.4;
  // The width of Letter between the margins of the sheet.
  await page.setViewportSize({ width: Math.round(195.9 * pixelsOfMm), height: 1_000 });
  await page.emulateMedia({ media: 'print' });
  const box = await page.locator('.sheet-writing > div').boundingBox();
  return (box?.height ?? 0) / pixelsOfMm;
}
