// A real Chromium for the tests, found on this machine: never skipped, and an unexpected console.error fails.
import assert from 'node:assert/strict';
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core';

const FIXED_PLACES: readonly string[] = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];
const NO_BROWSER =
  'No Chromium was found to test in. On Debian and Ubuntu run "apt-get install chromium"; elsewhere run ' +
  '"npx playwright-core install chromium", or set CHROMIUM_PATH to the browser that is there.';
const QUIET = [
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
// The browser's own line about a request that a test made fail by going offline is no error of the page.
const OFFLINE_LINE = /net::ERR_INTERNET_DISCONNECTED/;

export interface BrowserOptions {
  /** A y4m file that the fake camera plays; "none" for a machine without a camera, "two" for one with two and no film. */
  readonly camera?: string;
  /** Answers the camera's question: granted without asking, or refused. */
  readonly permission?: 'granted' | 'refused';
  /** console.error lines that this test provokes on purpose. */
  readonly expected?: readonly RegExp[];
  readonly context?: BrowserContextOptions;
}

export interface TestBrowser {
  readonly browser: Browser;
  readonly context: BrowserContext;
  readonly page: Page;
  /** A further page of the same context, watched as well. */
  readonly openPage: () => Promise<Page>;
  /** Closes it, and throws when a page wrote an unexpected error to its console. */
  readonly close: () => Promise<void>;
}

/** The browser's path: CHROMIUM_PATH, the usual places, then playwright's own. */
export function findBrowser(): string {
  const places = [process.env.CHROMIUM_PATH ?? '', ...FIXED_PLACES, chromium.executablePath()];
  const found = places.find((place) => place !== '' && existsSync(place));
  assert(found, NO_BROWSER);
  return found;
}

function cameraFlags({ camera, permission = 'granted' }: BrowserOptions): readonly string[] {
  if (camera === undefined) return [];
  const answer =
    permission === 'granted' ? ['--use-fake-ui-for-media-stream'] : ['--deny-permission-prompts'];
  if (camera === 'none') return ['--use-fake-device-for-media-stream=device-count=0', ...answer];
  if (camera === 'two') return ['--use-fake-device-for-media-stream=device-count=2', ...answer];
  return ['--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${camera}`, ...answer];
}

function watch(page: Page, errors: string[]): Page {
  page.on('console', (line) => {
    if (line.type() === 'error') errors.push(`${line.text()} (${line.location().url})`);
  });
  page.on('pageerror', (error) => errors.push(String(error)));
  return page;
}

/** Opens a browser with one page. Close it with its `close`, which also checks the console. */
export async function openBrowser(options: BrowserOptions = {}): Promise<TestBrowser> {
  const browser = await chromium.launch({
    executablePath: findBrowser(),
    // Root has no sandbox to be in.
    chromiumSandbox: process.getuid?.() !== 0 && process.platform === 'linux',
    args: [...QUIET, ...cameraFlags(options)],
  });
  const context = await browser.newContext(options.context);
  const errors: string[] = [];
  const expected = [OFFLINE_LINE, ...(options.expected ?? [])];
  const openPage = async (): Promise<Page> => watch(await context.newPage(), errors);
  const close = async (): Promise<void> => {
    await browser.close();
    const surprises = errors.filter((line) => !expected.some((pattern) => pattern.test(line)));
    assert.deepEqual(surprises, [], 'a page wrote errors to its console');
  };
  return { browser, context, page: await openPage(), openPage, close };
}

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const WCAG_22_AA = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

export interface AxeOptions {
  /** Asks for 7:1 as well, as on the phone. */
  readonly enhancedContrast?: boolean;
}

/** What axe-core finds wrong on the page as it is now, by WCAG 2.2 AA: one line per rule and element. */
export async function axe(
  page: Page,
  { enhancedContrast = false }: AxeOptions = {},
): Promise<readonly string[]> {
  // Through the debugger's own world, so that the page's security policy does not have to allow it.
  await page.evaluate(`(() => { if (!window.axe) { ${await readAxe()} } })()`);
  return page.evaluate(
    async ({ tags, enhanced }) => {
      const found = await Reflect.get(window, 'axe').run(document, {
        runOnly: { type: 'tag', values: tags },
        rules: { 'color-contrast-enhanced': { enabled: enhanced } },
      });
      const lines: string[] = [];
      for (const { id, nodes } of found.violations) {
        for (const { target, failureSummary } of nodes)
          lines.push(`${id}: ${target.join(' ')} ${failureSummary}`);
      }
      return lines;
    },
    { tags: WCAG_22_AA, enhanced: enhancedContrast },
  );
}

async function readAxe(): Promise<string> {
  const { readFile } = await import('node:fs/promises');
  return readFile(AXE, 'utf8');
}
