// "tree of 100,000": from opening the desk until the tree of an outfit with 100,000 things is painted, in a browser that
// has kept nothing. Beside it: the same for the place in which half of them lie, and what the service alone takes.
import type { Browser } from 'playwright-core';
import { openBrowser } from '../browser/browser.ts';
import { medianOf, printFigure } from './figure.ts';
import { CASES, enterOutfitOf100000, SHELVES, STORE_ID, THINGS } from './outfit-of-100000.ts';
import { startBenchServer, startService } from './service.ts';

const ROUNDS = 7;

/** Milliseconds from the start of the navigation until what the selector finds has been painted. */
async function timePaint(browser: Browser, address: string, selector: string): Promise<number> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, locale: 'en-GB' });
  const page = await context.newPage();
  await page.addInitScript((wanted) => {
    const watcher = new MutationObserver(() => {
      if (document.querySelector(wanted) === null) return;
      watcher.disconnect();
      // Two frames on, what was put into the page has been drawn.
      requestAnimationFrame(() =>
        requestAnimationFrame(() =>
          document.documentElement.setAttribute('data-painted', String(performance.now())),
        ),
      );
    });
    watcher.observe(document, { subtree: true, childList: true });
  }, selector);
  await page.goto(address);
  const root = page.locator('html[data-painted]');
  await root.waitFor({ state: 'attached' });
  const painted = Number(await root.getAttribute('data-painted'));
  await context.close();
  return painted;
}

async function timeAnswer(url: string): Promise<number> {
  const startedAt = performance.now();
  const answer = await fetch(url);
  await answer.text();
  if (!answer.ok) throw new Error(`${url} answered ${answer.status}`);
  return performance.now() - startedAt;
}

async function medianOfRounds(measure: () => Promise<number>): Promise<number> {
  await measure();
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round += 1) times.push(await measure());
  return Math.round(medianOf(times));
}

export async function benchTree(): Promise<void> {
  const server = await startBenchServer();
  const databaseUrl = await server.makeDatabase();
  await enterOutfitOf100000(databaseUrl);
  const service = await startService(databaseUrl);
  const { browser, close } = await openBrowser();
  try {
    const contents = `${service.url}/api/places/${STORE_ID}/contents`;
    const asked = await medianOfRounds(() => timeAnswer(`${service.url}/api/where`));
    const page = await medianOfRounds(() => timeAnswer(`${contents}?limit=100`));
    const far = await medianOfRounds(() => timeAnswer(`${contents}?limit=100&skip=49000`));
    const words = await medianOfRounds(() => timeAnswer(`${contents}?limit=100&text=lamp%20997`));
    const tree = await medianOfRounds(() => timePaint(browser, `${service.url}/where`, '[role="treeitem"]'));
    const place = await medianOfRounds(() =>
      timePaint(browser, `${service.url}/where/${STORE_ID}?list=here`, '.long-table tbody tr[data-index] th'),
    );
    printFigure({
      ...{ figure: 'tree of 100,000', value: tree, unit: 'ms', against: null, ratio: null },
      ...{ things: THINGS, places: CASES + SHELVES + 10, placeOfHalf: place, serviceTree: asked },
      ...{ serviceFirstLines: page, serviceLastLines: far, serviceFilter: words },
    });
  } finally {
    await close();
    await service.stop();
    await server.stop();
  }
}
