// A count follows the book without standing in the way of scans: driven here by a clock that only the test moves.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Steps } from '#domain/steps.ts';
import { keepRecounting, QUIET_MS, type Room, SLICE_MS, STALE_MS_MAX } from '../../scanner/store/recount.ts';

/** A page with one timer's worth of tasks; `pass` lets time go by and runs what falls due, longest-waiting first. */
function makePage() {
  let now = 0;
  let tasks: { readonly at: number; readonly task: () => void }[] = [];
  const slices: number[] = [];
  const room: Room = {
    now: () => now,
    later: (task, ms) => {
      const entry = { at: now + ms, task };
      tasks.push(entry);
      return () => {
        tasks = tasks.filter((known) => known !== entry);
      };
    },
  };
  const pass = (ms: number) => {
    const until = now + ms;
    for (;;) {
      const due = tasks.filter(({ at }) => at <= until).sort((a, b) => a.at - b.at)[0];
      if (due === undefined) break;
      tasks = tasks.filter((known) => known !== due);
      now = Math.max(now, due.at);
      const began = now;
      due.task();
      slices.push(now - began);
    }
    now = Math.max(now, until);
  };
  /** Work on a book: so many steps, each of which takes so long. */
  const work = (steps: number, stepMs: number) =>
    function* of(book: number): Steps<number> {
      for (let step = 0; step < steps; step += 1) {
        now += stepMs;
        yield;
      }
      return book;
    };
  return { room, pass, work, slices, now: () => now };
}

function watch(steps: number, stepMs: number) {
  const page = makePage();
  const made: number[] = [];
  const recount = keepRecounting(page.work(steps, stepMs), (book) => made.push(book), page.room);
  return { ...page, made, recount };
}

test('nothing is counted until it has been quiet for a moment, and then only the latest book', () => {
  const { recount, pass, made } = watch(3, 1);
  recount.want(1);
  pass(QUIET_MS - 1);
  recount.want(2);
  pass(QUIET_MS - 1);
  expect(made).toEqual([]);
  pass(2);
  expect(made).toEqual([2]);
});

test('a scan in the middle of a long count waits for one slice at most, and the count begins anew', () => {
  const { recount, pass, made, slices } = watch(1_000, 1);
  recount.want(1);
  pass(QUIET_MS + 300);
  recount.want(2);
  pass(QUIET_MS - 1);
  expect(made).toEqual([]);
  expect(Math.max(...slices)).toBeLessThanOrEqual(SLICE_MS);
  pass(5_000);
  expect(made).toEqual([2]);
});

test('whoever scans without a pause still sees the count move', () => {
  const { recount, pass, made } = watch(300, 1);
  let book = 0;
  for (let ms = 0; ms < 10_000; ms += 150) {
    book += 1;
    recount.want(book);
    pass(150);
  }
  expect(made.length).toBeGreaterThan(2);
  expect(10_000 / made.length).toBeLessThan(STALE_MS_MAX + 2_000);
});

test('stopped, it makes nothing more', () => {
  const { recount, pass, made } = watch(1_000, 1);
  recount.want(1);
  pass(QUIET_MS + 20);
  recount.stop();
  pass(10_000);
  expect(made).toEqual([]);
});

test('whenever books come and however long the work is, the last that is made is the latest, and none comes twice or late', () => {
  const waits = fc.array(fc.integer({ min: 0, max: 1_500 }), { minLength: 1, maxLength: 40 });
  const property = fc.property(
    waits,
    fc.nat(400),
    fc.integer({ min: 0, max: 20 }),
    (pauses, steps, stepMs) => {
      const { recount, pass, made, slices } = watch(steps, stepMs);
      for (const [book, pause] of pauses.entries()) {
        recount.want(book);
        pass(pause);
      }
      pass(60_000);
      expect(made.at(-1)).toBe(pauses.length - 1);
      expect(made).toEqual([...new Set(made)].sort((a, b) => a - b));
      expect(Math.max(...slices)).toBeLessThanOrEqual(SLICE_MS + stepMs);
    },
  );
  fc.assert(property, { numRuns: 200 });
});
