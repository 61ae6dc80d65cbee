// "phone verdict": from a code read to the painted answer, with no network, ten thousand things, processor slowed 4×; beside
// it the same while the count asks for all ten thousand.
import type { Page } from 'playwright-core';
import { printFigure, quantileOf } from './figure.ts';
import { ABOARD, codeOf, THINGS, withPhone } from './phone.ts';

const SCANS = 40;
const WARM_UP = 5;
const SLOWED = 4;

/**
 * Types a code, and takes the time from the Enter that ends it until the page has painted the verdict:
 * a frame after the status changed.
 */
async function timeVerdict(page: Page, code: string): Promise<number> {
  const verdict = page.evaluate(
    () =>
      new Promise<number>((resolve) => {
        let read = 0;
        addEventListener(
          'keydown',
          (event) => {
            if (event.key === 'Enter' && read === 0) read = performance.now();
          },
          { capture: true },
        );
        const watcher = new MutationObserver((changes) => {
          const answer = document.querySelector('[aria-label="Answer to the scan"]');
          const isAnswer = changes.some(({ target }) => answer?.contains(target) || target.contains(answer));
          if (read === 0 || answer === null || !isAnswer) return;
          watcher.disconnect();
          requestAnimationFrame(() => requestAnimationFrame(() => resolve(performance.now() - read)));
        });
        watcher.observe(document.body, { subtree: true, childList: true, characterData: true });
      }),
  );
  await page.getByRole('textbox').first().fill(code);
  await page.getByRole('textbox').first().press('Enter');
  return verdict;
}

async function timeVerdicts(aboard: number): Promise<readonly number[]> {
  const times: number[] = [];
  const scanAll = async (page: Page) => {
    await page.context().setOffline(true);
    const devtools = await page.context().newCDPSession(page);
    await devtools.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
    for (let scan = 0; scan < SCANS + WARM_UP; scan += 1) {
      const ms = await timeVerdict(page, codeOf(scan));
      if (scan >= WARM_UP) times.push(ms);
    }
    // The count follows a moment after the last scan; it has to have taken every one.
    const open = `${aboard - SCANS - WARM_UP} open`;
    await page.getByRole('heading', { level: 1, name: open }).waitFor();
  };
  await withPhone(scanAll, () => {}, aboard);
  return times;
}

export async function benchPhoneVerdict(): Promise<void> {
  const times = await timeVerdicts(ABOARD);
  const allAboard = await timeVerdicts(THINGS);
  const rounded = (of: readonly number[], share: number) => Math.round(quantileOf(of, share));
  printFigure({
    ...{ figure: 'phone verdict', value: rounded(times, 0.5), unit: 'ms', against: null, ratio: null },
    ...{
      p95: rounded(times, 0.95),
      linesAsked: ABOARD,
      things: THINGS,
      scans: SCANS,
      processorSlowed: SLOWED,
    },
    ...{ [`medianWith${THINGS}Lines`]: rounded(allAboard, 0.5) },
    ...{ [`p95With${THINGS}Lines`]: rounded(allAboard, 0.95) },
  });
}
