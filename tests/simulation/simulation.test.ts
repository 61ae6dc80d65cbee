import { describe, expect, test } from 'vitest';
import { faultsOf } from './faults.ts';
import { simulate } from './simulate.ts';

const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];

describe('an evening of phones with a bad net and wrong clocks', () => {
  test.each(SEEDS)('seed %i: nothing is lost or doubled, and everybody says what the model says', (seed) => {
    expect(faultsOf(simulate(seed))).toEqual([]);
  });

  test('the same seed is the same evening, another seed is another', () => {
    expect(simulate(7).happenings).toEqual(simulate(7).happenings);
    expect(simulate(7).happenings).not.toEqual(simulate(8).happenings);
  });

  test('these seeds hold everything that can go wrong', () => {
    const evenings = SEEDS.map(simulate);
    const happened = new Set(evenings.flatMap(({ tally }) => Object.keys(tally)));
    const bad = ['lost', 'doubled', 'held up', 'already-known', 'waiting', 'undid', 'restarted', 'clock set'];
    for (const what of bad) expect(happened).toContain(what);
    const uncertain = evenings.flatMap(({ service }) => service.ledger.filter((line) => line.timeUncertain));
    expect(uncertain.length).toBeGreaterThan(0);
  });
});
