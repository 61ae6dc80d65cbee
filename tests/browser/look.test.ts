// The look in a real Chromium: its specimen page in both themes, in the sizes of the phone and of the desk.
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axe, openBrowser, type TestBrowser } from './browser.ts';
import { type ServedPage, serveBuilt } from './serve-built.ts';

const PHONE = { width: 390, height: 844 };
const DESK = { width: 1_280, height: 800 };
const SIZES = [
  { size: 'phone', viewport: PHONE, query: '?phone', targetPx: 48 },
  { size: 'desk', viewport: DESK, query: '', targetPx: 24 },
] as const;
const THEMES = ['light', 'dark'] as const;

let served: ServedPage;
let opened: TestBrowser;

beforeAll(async () => {
  served = await serveBuilt('web', ['look/specimen.html']);
  opened = await openBrowser();
});
afterAll(async () => {
  await opened.close();
  await served.stop();
});

async function show({ viewport, query }: (typeof SIZES)[number], theme: 'light' | 'dark'): Promise<Page> {
  const { page } = opened;
  await page.setViewportSize(viewport);
  await page.emulateMedia({ colorScheme: theme });
  await page.goto(`${served.origin}/look/specimen.html${query}`);
  await page.getByRole('heading', { level: 1 }).waitFor();
  return page;
}

/** Elements that can be pressed and are lower or narrower than this, by their text. */
function tooSmall(page: Page, targetPx: number): Promise<string[]> {
  return page.evaluate((least) => {
    const pressed = [...document.querySelectorAll('button, .button, input:not(.button input), summary')];
    const seen = pressed.filter((element) => element.getBoundingClientRect().height > 0);
    const small = seen.filter((element) => {
      const { width, height } = element.getBoundingClientRect();
      return width < least || height < least;
    });
    return small.map((element) => element.textContent ?? '');
  }, targetPx);
}

const valuesOfTokens = (page: Page): Promise<Record<string, string>> =>
  page.evaluate(() => {
    const style = getComputedStyle(document.documentElement);
    const names = [...document.styleSheets].flatMap((sheet) =>
      [...sheet.cssRules].flatMap((rule) => (rule instanceof CSSStyleRule ? [...rule.style] : [])),
    );
    const tokens = names.filter((name) => name.startsWith('--'));
    return Object.fromEntries(tokens.map((name) => [name, style.getPropertyValue(name)]));
  });

describe.each(SIZES)('the parts of the look on the $size', (size) => {
  it.each(THEMES)(
    'have no violation of WCAG 2.2 AA in the %s theme, and 7:1 where the phone needs it',
    async (theme) => {
      const page = await show(size, theme);
      expect(await axe(page, { enhancedContrast: size.size === 'phone' })).toEqual([]);
      await page.getByRole('button', { name: 'Scan' }).click();
      expect(await axe(page, { enhancedContrast: size.size === 'phone' })).toEqual([]);
      await page.keyboard.press('Escape');
      expect(await page.getByRole('dialog').count()).toBe(0);
    },
  );

  it('show every icon in the size of its word, and every word unbroken', async () => {
    const page = await show(size, 'light');
    const icons = await page.evaluate(() =>
      [...document.querySelectorAll('.icon')].map((icon) => icon.getBoundingClientRect().height),
    );
    expect(icons.length).toBeGreaterThan(20);
    expect(Math.max(...icons)).toBeLessThanOrEqual(32);
    const states = await page.evaluate(() =>
      [...document.querySelectorAll('.line-state')].map((state) => state.getBoundingClientRect().height),
    );
    expect(Math.max(...states)).toBeLessThanOrEqual(32);
  });

  it('read a row out as name, facts and state, with a blank between', async () => {
    const page = await show(size, 'light');
    const row = page.getByRole('list', { name: 'Still open' }).getByRole('listitem').nth(1);
    expect(await row.textContent()).toBe('Hide stool Birch Hide Co. · at the reed bed open');
  });

  it('can all be hit by a finger, and nothing is cut off at the side', async () => {
    const page = await show(size, 'light');
    expect(await tooSmall(page, size.targetPx)).toEqual([]);
    expect(
      await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth),
    ).toBeLessThanOrEqual(0);
  });
});

describe('the theme', () => {
  it('is the same dark whether the device asks for it or the person does', async () => {
    const page = await show(SIZES[0], 'dark');
    const asked = await valuesOfTokens(page);
    await page.emulateMedia({ colorScheme: 'light' });
    const light = await valuesOfTokens(page);
    await page.evaluate(() => {
      document.documentElement.dataset.theme = 'dark';
    });
    expect(await valuesOfTokens(page)).toEqual(asked);
    expect(light['--ground']).not.toBe(asked['--ground']);
  });

  it('chosen as light stays light on a dark device', async () => {
    const page = await show(SIZES[0], 'light');
    const light = await valuesOfTokens(page);
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.evaluate(() => {
      document.documentElement.dataset.theme = 'light';
    });
    expect(await valuesOfTokens(page)).toEqual(light);
  });
});

describe('paper', () => {
  it.each([null, 'dark', 'light'] as const)(
    'is black on white without buttons, on a dark device with the theme %s',
    async (theme) => {
      const page = await show(SIZES[1], 'dark');
      await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
      await page.evaluate((chosen) => {
        if (chosen) document.documentElement.dataset.theme = chosen;
      }, theme);
      const { ink, ground, pressed } = await page.evaluate(() => {
        const { color, backgroundColor } = getComputedStyle(document.body);
        const shown = [...document.querySelectorAll('button, .button')].filter(
          (one) => one.getBoundingClientRect().height > 0,
        );
        return { ink: color, ground: backgroundColor, pressed: shown.map((one) => one.className) };
      });
      await page.emulateMedia({ media: 'screen' });
      expect({ ink, ground }).toEqual({ ink: 'rgb(0, 0, 0)', ground: 'rgb(255, 255, 255)' });
      // Rows of a list stay, also those that can be pressed on the screen.
      expect(pressed).toEqual(['line']);
    },
  );
});

describe('a verdict', () => {
  it('is a word and a shape of its own for each kind, large enough to be read from two metres', async () => {
    const page = await show(SIZES[0], 'light');
    const seen = await page.evaluate(() =>
      [...document.querySelectorAll('.verdict')].map((verdict) => {
        const word = verdict.querySelector('.verdict-word');
        return {
          word: word?.textContent ?? '',
          shape: verdict.querySelector('svg')?.innerHTML ?? '',
          px: word ? Number.parseFloat(getComputedStyle(word).fontSize) : 0,
        };
      }),
    );
    expect(new Set(seen.map(({ word }) => word)).size).toBe(5);
    expect(new Set(seen.map(({ shape }) => shape)).size).toBe(5);
    for (const { px } of seen) expect(px).toBeGreaterThanOrEqual(52);
  });

  it('is never cut or broken inside a word, on the narrowest phone', async () => {
    const page = await show(SIZES[0], 'light');
    await page.setViewportSize({ width: 320, height: 568 });
    const cut = await page.evaluate(() =>
      [...document.querySelectorAll('.verdict-word')]
        .filter((word) => word.scrollWidth > word.clientWidth)
        .map((word) => word.textContent),
    );
    expect(cut).toEqual([]);
  });

  it('does not move for those who want no motion', async () => {
    const page = await show(SIZES[0], 'light');
    await page.emulateMedia({ reducedMotion: 'reduce' });
    const names = await page.evaluate(() =>
      [...document.querySelectorAll('*')].map((element) => getComputedStyle(element).animationName),
    );
    expect(new Set(names)).toEqual(new Set(['none']));
  });
});
