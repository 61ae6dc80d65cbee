// The whole service with the built desk in front of it, and a browser that looks at it.
import assert from 'node:assert/strict';
import type { Page } from 'playwright-core';
import { buildWhatIsMissing, STATIC_FOLDERS } from '../../api/front-ends.ts';
import { startService } from '../api/app.ts';
import { axe, openBrowser, type TestBrowser } from './browser.ts';

export interface Desk {
  readonly page: Page;
  readonly context: TestBrowser['context'];
  readonly origin: string;
  readonly ask: Awaited<ReturnType<typeof startService>>['ask'];
  /** The service goes away, as when its machine is switched off. */
  readonly stopService: () => Promise<void>;
  readonly close: () => Promise<void>;
}

/** A service on an empty database, and its desk in a browser. `expected` are console errors provoked on purpose. */
export async function openDesk(expected: readonly RegExp[] = []): Promise<Desk> {
  await buildWhatIsMissing(() => undefined);
  const service = await startService({ staticFolders: STATIC_FOLDERS });
  const { page, context, close } = await openBrowser({
    expected,
    context: { viewport: { width: 1280, height: 800 }, locale: 'en-GB', timezoneId: 'Europe/Lisbon' },
  });
  let stopped: Promise<void> | null = null;
  const stopService = (): Promise<void> => {
    stopped ??= service.close();
    return stopped;
  };
  const closeBoth = async (): Promise<void> => {
    // The browser first: a stream that is cut off is an error on its console.
    await close().finally(stopService);
  };
  return {
    page,
    context,
    origin: `http://127.0.0.1:${service.port}`,
    ask: service.ask,
    stopService,
    close: closeBoth,
  };
}

/** What axe-core finds on the page, in the light theme and in the dark one. */
export async function axeInBothThemes(page: Page): Promise<readonly string[]> {
  const found: string[] = [];
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    found.push(...(await axe(page)).map((line) => `${colorScheme}: ${line}`));
  }
  return found;
}

/** Fails with what axe-core finds on this screen, in either theme. */
export async function assertNothingFound(page: Page, screen: string): Promise<void> {
  assert.deepEqual(await axeInBothThemes(page), [], `axe-core on ${screen}`);
}
