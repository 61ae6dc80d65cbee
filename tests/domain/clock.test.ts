import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type ClockedLine, type ClockRunState, type EffectiveTime, timeLines } from '#domain/clock.ts';
import type { ClockMeasure } from '#domain/movement.ts';
import { clockRun, device, lineId } from './making.ts';

const SECOND = 1_000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
/** The evening of the tests; any instant would do. */
const NINE = Date.parse('2026-06-12T21:00:00Z');

const line = (deviceNo: number, deviceAt: number, run = 'a'): ClockedLine => ({
  id: lineId(`line ${deviceNo} ${run}`, Math.max(deviceAt, 0)),
  deviceId: device('phone'),
  deviceNo,
  deviceAt,
  clockRun: clockRun(run),
});
const measure = (run: string, offsetMs: number): ClockMeasure => ({ clockRun: clockRun(run), offsetMs });
const none: readonly ClockRunState[] = [];

/** Times one batch and gives the lines' times in the order given. */
function timed(lines: readonly ClockedLine[], facts: Partial<Parameters<typeof timeLines>[0]> = {}) {
  const { times, runs } = timeLines({ lines, runs: none, measures: [], receivedAt: NINE, ...facts });
  return { runs, times: lines.map(({ id }) => times.get(id)), ats: lines.map(({ id }) => times.get(id)?.at) };
}

describe('law 4: a measured run', () => {
  test('device time and the offset measured in the run make the effective time', () => {
    const { times, runs } = timed([line(1, NINE - HOUR)], { measures: [measure('a', 5 * MINUTE)] });
    expect(times).toEqual([{ at: NINE - 55 * MINUTE, timeUncertain: false }]);
    expect(runs).toEqual([
      {
        id: clockRun('a'),
        deviceId: device('phone'),
        offsetMs: 5 * MINUTE,
        measured: true,
        uncertain: false,
        firstNo: 1,
        lastNo: 1,
        firstAt: NINE - 55 * MINUTE,
        lastAt: NINE - 55 * MINUTE,
      },
    ]);
  });

  test('its shift never changes, whatever is measured later', () => {
    const first = timed([line(1, NINE)], { measures: [measure('a', SECOND)] });
    const later = timed([line(2, NINE + MINUTE)], {
      runs: first.runs,
      measures: [measure('a', HOUR)],
      receivedAt: NINE + MINUTE,
    });
    expect(later.ats).toEqual([NINE + MINUTE + SECOND]);
    expect(later.runs).toMatchObject([
      { offsetMs: SECOND, firstNo: 1, lastNo: 2, lastAt: NINE + MINUTE + SECOND },
    ]);
  });

  test('it may end exactly 120 s past receipt, and not a millisecond later', () => {
    const measures = [measure('a', 0)];
    expect(timed([line(1, NINE + 120 * SECOND)], { measures }).times).toEqual([
      { at: NINE + 120 * SECOND, timeUncertain: false },
    ]);
    expect(timed([line(1, NINE + 120 * SECOND + 1)], { measures }).times).toEqual([
      { at: NINE, timeUncertain: true },
    ]);
  });
});

describe('law 4: an unmeasured run', () => {
  test('takes the offset of the next measured run of the installation', () => {
    const lines = [
      line(1, NINE - HOUR, 'a'),
      line(2, NINE - 50 * MINUTE, 'b'),
      line(3, NINE - 40 * MINUTE, 'c'),
    ];
    const measures = [measure('c', 7), measure('b', 3)];
    const { times, runs } = timed(lines, { measures });
    expect(times[0]).toEqual({ at: NINE - HOUR + 3, timeUncertain: false });
    expect(runs.find(({ id }) => id === clockRun('a'))).toMatchObject({ offsetMs: 3, measured: false });
  });

  test('takes that of a run which has no line yet, because that is the one that sends', () => {
    const { times } = timed([line(1, NINE - HOUR, 'a')], { measures: [measure('now', 9)] });
    expect(times).toEqual([{ at: NINE - HOUR + 9, timeUncertain: false }]);
  });

  test('takes that of a later run that is kept already, when its line comes late', () => {
    const first = timed([line(5, NINE - MINUTE, 'b')], { measures: [measure('b', 4)] });
    expect(timed([line(1, NINE - HOUR, 'a')], { runs: first.runs }).ats).toEqual([NINE - HOUR + 4]);
  });

  test('takes none of an earlier run: without a later one its own clock is believed, uncertain', () => {
    const first = timed([line(1, NINE - HOUR, 'a')], { measures: [measure('a', 4)] });
    expect(timed([line(2, NINE - MINUTE, 'b')], { runs: first.runs }).times).toEqual([
      { at: NINE - MINUTE, timeUncertain: true },
    ]);
  });
});

describe('law 4: a run that can not be', () => {
  test('a clock a day ahead: the run ends at receipt and the distances inside stay', () => {
    const lines = [line(1, NINE + 24 * HOUR), line(2, NINE + 24 * HOUR + 90), line(3, NINE + 25 * HOUR)];
    const { times } = timed(lines, { measures: [measure('a', 0)] });
    expect(times).toEqual([
      { at: NINE - HOUR, timeUncertain: true },
      { at: NINE - HOUR + 90, timeUncertain: true },
      { at: NINE, timeUncertain: true },
    ]);
  });

  test('a clock set back: the run begins behind the last line of the one before it', () => {
    const lines = [
      line(1, NINE - HOUR, 'a'),
      line(2, NINE - 3 * HOUR, 'b'),
      line(3, NINE - 3 * HOUR + 50, 'b'),
    ];
    const { times } = timed(lines, { measures: [measure('a', 0), measure('b', 0)] });
    expect(times).toEqual([
      { at: NINE - HOUR, timeUncertain: false },
      { at: NINE - HOUR + 1, timeUncertain: true },
      { at: NINE - HOUR + 51, timeUncertain: true },
    ]);
  });

  test('a clock set back, told in a later batch, is shifted just so', () => {
    const first = timed([line(1, NINE - HOUR, 'a')], { measures: [measure('a', 0)] });
    const { times } = timed([line(2, NINE - 3 * HOUR, 'b')], {
      runs: first.runs,
      measures: [measure('b', 0)],
    });
    expect(times).toEqual([{ at: NINE - HOUR + 1, timeUncertain: true }]);
  });

  test('two runs of wrong clocks that can not both end before receipt make room, distances inside stay', () => {
    const lines = [
      line(1, NINE - HOUR, 'a'),
      line(2, NINE, 'a'),
      line(3, NINE - 5 * HOUR, 'b'),
      line(4, NINE - 2 * HOUR, 'b'),
    ];
    const { ats } = timed(lines, { measures: [measure('a', 0), measure('b', 0)] });
    expect(ats).toEqual([NINE - 4 * HOUR - 1, NINE - 3 * HOUR - 1, NINE - 3 * HOUR, NINE]);
  });

  test('a single line from the future in a run that is kept can not pull later lines along', () => {
    const first = timed([line(1, NINE - MINUTE)], { measures: [measure('a', 0)] });
    const stray = timed([line(2, NINE + 1_000 * HOUR)], { runs: first.runs });
    expect(stray.times).toEqual([{ at: NINE, timeUncertain: true }]);
    const after = timed([line(3, NINE + MINUTE)], { runs: stray.runs, receivedAt: NINE + MINUTE });
    expect(after.times).toEqual([{ at: NINE + MINUTE, timeUncertain: false }]);
  });
});

describe('law 4: lines that come late', () => {
  test('a late line of an older run stands before the run that is kept, with room for what is still missing', () => {
    const first = timed([line(1, NINE - HOUR, 'a'), line(5, NINE - 3 * HOUR, 'b')], {
      measures: [measure('a', 0), measure('b', 0)],
    });
    expect(first.ats).toEqual([NINE - HOUR, NINE - HOUR + 4]);
    const late = timed([line(3, NINE - 30 * MINUTE, 'a')], { runs: first.runs });
    expect(late.times).toEqual([{ at: NINE - HOUR + 2, timeUncertain: true }]);
    const runs = [...first.runs.filter(({ id }) => id === clockRun('b')), ...late.runs];
    expect(timed([line(2, NINE - 40 * MINUTE, 'a')], { runs }).ats).toEqual([NINE - HOUR + 1]);
    expect(timed([line(4, NINE - 20 * MINUTE, 'a')], { runs }).ats).toEqual([NINE - HOUR + 3]);
  });

  test('an older run that comes whole after a later one is shifted as a whole to end before it', () => {
    const later = timed([line(10, NINE - HOUR, 'b')], { measures: [measure('b', 0)] });
    const late = timed([line(8, NINE - HOUR, 'a'), line(9, NINE - 50 * MINUTE, 'a')], {
      runs: later.runs,
      measures: [measure('a', 0)],
    });
    expect(late.ats).toEqual([NINE - 70 * MINUTE - 1, NINE - HOUR - 1]);
    expect(late.runs).toMatchObject([{ uncertain: true }]);
  });

  test('many lines of one tap, all in one millisecond, keep their order', () => {
    const lines = [1, 2, 3, 4, 5].map((no) => line(no, NINE - MINUTE));
    const { ats } = timed(lines.toReversed(), { measures: [measure('a', 0)] });
    expect(ats.toReversed()).toEqual([0, 1, 2, 3, 4].map((ms) => NINE - MINUTE + ms));
  });

  test('a gap of a thousand million numbers does not push a line into the future', () => {
    const first = timed([line(1, NINE)], { measures: [measure('a', 0)] });
    const far = timed([line(1_000_000_000, NINE)], { runs: first.runs });
    expect(far.ats).toEqual([NINE + MINUTE]);
  });

  test('offsets beyond all dates end up as a date', () => {
    const measures = [measure('a', Number.MAX_SAFE_INTEGER), measure('b', Number.MIN_SAFE_INTEGER)];
    const { ats } = timed([line(1, 8_640_000_000_000_000, 'a'), line(2, 0, 'b')], { measures });
    expect(ats).toEqual([NINE, NINE + 1]);
  });
});

/** The service's memory of one installation: what timeLines is given and what it says, batch after batch. */
function storing() {
  const runs = new Map<string, ClockRunState>();
  const stored = new Map<string, { line: ClockedLine; time: EffectiveTime; receivedAt: number }>();
  const neighboursOf = (lines: readonly ClockedLine[]) => {
    const all = [...stored.values()].map(({ line: { deviceNo }, time: { at } }) => ({ deviceNo, at }));
    return lines.flatMap(({ deviceNo }) => {
      const below = all.filter((one) => one.deviceNo <= deviceNo).sort((a, b) => b.deviceNo - a.deviceNo);
      const above = all.filter((one) => one.deviceNo >= deviceNo).sort((a, b) => a.deviceNo - b.deviceNo);
      return [...below.slice(0, 1), ...above.slice(0, 1)];
    });
  };
  const receive = (
    lines: readonly ClockedLine[],
    facts: { measures: readonly ClockMeasure[]; receivedAt: number; withNeighbours: boolean },
  ) => {
    const { measures, receivedAt, withNeighbours } = facts;
    const kept = { runs: [...runs.values()], measures, receivedAt };
    const neighbours = withNeighbours ? neighboursOf(lines) : [];
    const result = timeLines({ lines, ...kept, neighbours });
    for (const run of result.runs) {
      const before = runs.get(run.id);
      if (before !== undefined)
        expect(run).toMatchObject({ offsetMs: before.offsetMs, uncertain: before.uncertain });
      runs.set(run.id, run);
    }
    for (const one of lines) {
      const time = result.times.get(one.id);
      if (time === undefined) throw new Error('a line without a time');
      stored.set(one.id, { line: one, time, receivedAt });
    }
  };
  return { receive, runs, stored };
}

const byNumber = (a: { line: ClockedLine }, b: { line: ClockedLine }) => a.line.deviceNo - b.line.deviceNo;

function expectOrderKept(stored: Iterable<{ line: ClockedLine; time: EffectiveTime }>): void {
  const ordered = [...stored].sort(byNumber);
  for (const [index, one] of ordered.slice(1).entries()) {
    expect(one.time.at).toBeGreaterThan(ordered[index]?.time.at ?? Number.NaN);
    expect(Number.isSafeInteger(one.time.at)).toBe(true);
  }
}

/** A phone's day as it really went, and what its clock made of it: runs with jumps, some measured. */
const anyDay = fc
  .array(
    fc.record({
      jumpMs: fc.oneof(
        fc.constant(0),
        fc.integer({ min: -20_000, max: 20_000 }),
        fc.integer({ min: -2 * HOUR, max: 2 * HOUR }),
      ),
      gapsMs: fc.array(
        fc.oneof(fc.constant(1), fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 5 * MINUTE })),
        {
          minLength: 1,
          maxLength: 8,
        },
      ),
      measured: fc.boolean(),
    }),
    { minLength: 1, maxLength: 5 },
  )
  .map((runs) => {
    let [now, no] = [NINE - 12 * HOUR, 0];
    const lines: { line: ClockedLine; trueAt: number }[] = [];
    const measures: ClockMeasure[] = [];
    for (const [index, { jumpMs, gapsMs, measured }] of runs.entries()) {
      for (const gap of gapsMs) {
        now += gap;
        no += 1;
        lines.push({ line: line(no, now + jumpMs, `run ${index}`), trueAt: now });
      }
      if (measured) measures.push(measure(`run ${index}`, -jumpMs));
    }
    return { lines, measures, endsAt: now };
  });

/** Splits lines into batches by giving each one a batch number. */
const anySplit = <L>(lines: readonly L[]) =>
  fc
    .array(fc.nat({ max: 3 }), { minLength: lines.length, maxLength: lines.length })
    .map((numbers) =>
      [0, 1, 2, 3]
        .map((batch) => lines.filter((_, index) => numbers[index] === batch))
        .filter((of) => of.length > 0),
    );

describe('law 4: any clocks', () => {
  const lateDays = anyDay.chain((day) => anySplit(day.lines).map((batches) => ({ ...day, batches })));

  test('whatever comes late, in whichever batch, the time never contradicts the numbers', () => {
    fc.assert(
      fc.property(lateDays, ({ batches, measures, endsAt }) => {
        const service = storing();
        for (const [index, batch] of batches.entries()) {
          const lines = batch.map((one) => one.line);
          service.receive(lines, { measures, receivedAt: endsAt + index * MINUTE, withNeighbours: true });
        }
        expectOrderKept(service.stored.values());
      }),
      { numRuns: 400 },
    );
  });

  test('not even for a device that writes any times and mixes its runs', () => {
    const anyWritten = fc.array(
      fc.record({
        no: fc.integer({ min: 1, max: 60 }),
        deviceAt: fc.oneof(
          fc.integer({ min: NINE - 50, max: NINE + 50 }),
          fc.integer({ min: 0, max: 8_640_000_000_000_000 }),
        ),
        run: fc.constantFrom('a', 'b', 'c'),
      }),
      { minLength: 1, maxLength: 25 },
    );
    const cases = anyWritten.chain((written) => {
      const lines = [
        ...new Map(written.map((one) => [one.no, line(one.no, one.deviceAt, one.run)])).values(),
      ];
      return anySplit(lines);
    });
    const anyMeasures = fc.array(
      fc.record({ run: fc.constantFrom('a', 'b', 'c'), offsetMs: fc.maxSafeInteger() }),
      { maxLength: 3 },
    );
    fc.assert(
      fc.property(cases, anyMeasures, (batches, measured) => {
        const service = storing();
        const measures = measured.map(({ run, offsetMs }) => measure(run, offsetMs));
        for (const batch of batches)
          service.receive(batch, { measures, receivedAt: NINE, withNeighbours: true });
        expectOrderKept(service.stored.values());
      }),
      { numRuns: 400 },
    );
  });

  const promptDays = anyDay.chain((day) =>
    fc
      .nat({ max: day.lines.length })
      .map((cut) => ({ ...day, batches: [day.lines.slice(0, cut), day.lines.slice(cut)] })),
  );

  test('lines that come in their order need no neighbours', () => {
    fc.assert(
      fc.property(promptDays, ({ batches, measures, endsAt }) => {
        const service = storing();
        for (const batch of batches) {
          const lines = batch.map((one) => one.line);
          service.receive(lines, { measures, receivedAt: endsAt, withNeighbours: false });
        }
        expectOrderKept(service.stored.values());
      }),
    );
  });

  test('where every run is measured the time is the true one, and certain', () => {
    fc.assert(
      fc.property(lateDays, ({ lines, batches, endsAt }) => {
        const all = lines.map(({ line: one, trueAt }) => ({
          clockRun: one.clockRun,
          offsetMs: trueAt - one.deviceAt,
        }));
        const service = storing();
        for (const batch of batches) {
          service.receive(
            batch.map((one) => one.line),
            { measures: all, receivedAt: endsAt, withNeighbours: true },
          );
        }
        for (const { line: one, trueAt } of lines) {
          expect(service.stored.get(one.id)?.time).toEqual({ at: trueAt, timeUncertain: false });
        }
      }),
    );
  });

  test('in one batch a run is shifted as a whole, by its kept shift, and nothing stands past receipt by over 120 s', () => {
    fc.assert(
      fc.property(anyDay, ({ lines, measures, endsAt }) => {
        const service = storing();
        service.receive(
          lines.map((one) => one.line),
          { measures, receivedAt: endsAt, withNeighbours: false },
        );
        for (const { line: one, time } of service.stored.values()) {
          const run = service.runs.get(one.clockRun);
          expect(time).toEqual({ at: one.deviceAt + (run?.offsetMs ?? 0), timeUncertain: run?.uncertain });
          expect(time.at).toBeLessThanOrEqual(endsAt + 120_000);
        }
      }),
    );
  });

  test('what is kept of a run is its first and its last line by number', () => {
    fc.assert(
      fc.property(lateDays, ({ batches, measures, endsAt }) => {
        const service = storing();
        for (const batch of batches) {
          service.receive(
            batch.map((one) => one.line),
            { measures, receivedAt: endsAt, withNeighbours: true },
          );
        }
        for (const run of service.runs.values()) {
          const of = [...service.stored.values()]
            .filter((one) => one.line.clockRun === run.id)
            .sort(byNumber);
          expect(run).toMatchObject({
            firstNo: of[0]?.line.deviceNo,
            firstAt: of[0]?.time.at,
            lastNo: of.at(-1)?.line.deviceNo,
            lastAt: of.at(-1)?.time.at,
          });
        }
      }),
    );
  });
});
