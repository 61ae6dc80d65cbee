// What the camera reader decides, without a camera: which reads are one scan, what is looked at, how light is evened
// out, which lens is taken, and that no two verdicts sound or feel alike.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { makeTag } from '../../api/domain/tag-code.ts';
import { VERDICT_FEELS } from '../../scanner/feedback/verdict-sounds.ts';
import { pickLens } from '../../scanner/reader/choose-lens.ts';
import { createPace } from '../../scanner/reader/pace.ts';
import { createScanGate } from '../../scanner/reader/scan-gate.ts';
import { planFrame, shownRegion } from '../../scanner/worker/frame-plan.ts';
import { normaliseFrame } from '../../scanner/worker/normalise-frame.ts';
import { codeSeen } from '../../scanner/worker/scan-format.ts';

function aTag(): string {
  for (let seed = 0; seed < 100; seed += 1) {
    const tag = makeTag(Uint8Array.from({ length: 8 }, (_, at) => (seed * 37 + at * 59) % 256));
    if (tag) return tag;
  }
  throw new Error('None of a hundred draws made a tag.');
}

describe('which reads are one scan', () => {
  const foreign = { text: 'RENTAL-0042', format: 'Code128' } as const;

  it('a tag of ours with right check characters is believed at the first read', () => {
    expect(createScanGate().admit({ text: aTag(), format: 'Code128' }, 0)).toBe(true);
  });

  it('any other line of bars is believed at the second equal read', () => {
    for (const format of ['Code128', 'EAN13', 'EAN8', 'UPCA', 'ITF'] as const) {
      const gate = createScanGate();
      expect([0, 40, 80].map((atMs) => gate.admit({ text: '12345670', format }, atMs))).toEqual([
        false,
        true,
        false,
      ]);
    }
  });

  it('a misread between, or a second too long, begins again', () => {
    const gate = createScanGate();
    expect(gate.admit(foreign, 0)).toBe(false);
    expect(gate.admit({ ...foreign, text: 'RENTAL-0O42' }, 40)).toBe(false);
    expect(gate.admit(foreign, 80)).toBe(false);
    expect(gate.admit(foreign, 1_081)).toBe(false);
    expect(gate.admit(foreign, 1_100)).toBe(true);
  });

  it('however long a code stays in view, seen at least every two seconds, it is one scan', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 2_000 }), { maxLength: 200 }), (gapsMs) => {
        const gate = createScanGate();
        let nowMs = 0;
        const admitted = [0, ...gapsMs].filter((gapMs) => {
          nowMs += gapMs;
          return gate.admit({ text: 'TC7K3M9Q4X', format: 'QRCode' }, nowMs);
        });
        expect(admitted.length).toBe(1);
      }),
    );
  });

  it('away for more than two seconds, it is a new scan; another code between changes nothing', () => {
    const gate = createScanGate();
    const admit = (text: string, atMs: number): boolean => gate.admit({ text, format: 'DataMatrix' }, atMs);
    expect([admit('A', 0), admit('B', 500), admit('A', 1_000), admit('B', 2_400)]).toEqual([
      true,
      true,
      false,
      false,
    ]);
    expect([admit('A', 3_001), admit('B', 4_401)]).toEqual([true, true]);
  });
});

describe('what a read is called', () => {
  it('a decoder’s finer names are the formats that were asked for, and others are none', () => {
    expect(codeSeen('A', 'QRCodeModel2')?.format).toBe('QRCode');
    expect(codeSeen('02901234567896', 'ITF14')?.format).toBe('ITF');
    expect(codeSeen('9780000000002', 'ISBN')?.format).toBe('EAN13');
    expect([codeSeen('A', 'Aztec'), codeSeen('', 'QRCode'), codeSeen('A', 'None')]).toEqual([
      null,
      null,
      null,
    ]);
  });

  it('an EAN-13 that begins with 0 is the UPC-A that is printed', () => {
    expect(codeSeen('0412345678903', 'EAN13')).toEqual({ text: '412345678903', format: 'UPCA' });
    expect(codeSeen('2901234567896', 'EAN13')).toEqual({ text: '2901234567896', format: 'EAN13' });
  });
});

describe('what is looked at', () => {
  const frame = { width: 1_280, height: 720 };

  it('is in turn the middle evened out, the middle as it is, and every fifth time the whole', () => {
    const shown = shownRegion(frame, { width: 640, height: 360 });
    const plans = [0, 1, 2, 3, 4, 5].map((number) => planFrame(number, frame, shown));
    expect(plans.map(({ treatment }) => treatment)).toEqual([
      'normalised',
      'raw',
      'normalised',
      'raw',
      'normalised',
      'raw',
    ]);
    expect(plans.map(({ region }) => region.width)).toEqual([1_024, 1_024, 1_024, 1_024, 1_280, 1_024]);
    expect(plans[0]?.region).toEqual({ x: 128, y: 144, width: 1_024, height: 432 });
    // Every tenth frame is the whole as it is.
    expect(planFrame(9, frame, shown)).toEqual({ region: { x: 0, y: 0, ...frame }, treatment: 'raw' });
  });

  it('never reaches past the frame, whatever the box, and keeps its middle', () => {
    const side = fc.integer({ min: 16, max: 4_000 });
    fc.assert(
      fc.property(
        side,
        side,
        fc.integer({ min: 0, max: 4_000 }),
        fc.nat(40),
        (width, height, box, number) => {
          const shown = shownRegion({ width, height }, { width: box, height: 300 });
          const { region } = planFrame(number, { width, height }, shown);
          expect(Math.min(region.x, region.y)).toBeGreaterThanOrEqual(0);
          expect(region.x + region.width).toBeLessThanOrEqual(width);
          expect(region.y + region.height).toBeLessThanOrEqual(height);
          expect(Math.abs(region.x + region.width / 2 - width / 2)).toBeLessThanOrEqual(2);
        },
      ),
    );
  });
});

describe('evening out light', () => {
  /** The same by its definition: the mean of each 49 × 49 neighbourhood, added up anew for every pixel. */
  function plainly(grey: readonly number[], width: number): number[] {
    return grey.map((value, at) => {
      const [x, y] = [at % width, Math.floor(at / width)];
      const around = grey.filter((_, other) => {
        return Math.abs((other % width) - x) <= 24 && Math.abs(Math.floor(other / width) - y) <= 24;
      });
      const mean = around.reduce((sum, each) => sum + each, 0) / around.length;
      const result = 128 + (205 * (value - mean)) / Math.max(24, mean);
      return Math.min(255, Math.max(0, result));
    });
  }

  it('gives what its definition says', () => {
    const size = fc.record({
      width: fc.integer({ min: 1, max: 60 }),
      height: fc.integer({ min: 1, max: 4 }),
    });
    const picture = size.chain(({ width, height }) =>
      fc.record({
        width: fc.constant(width),
        grey: fc.array(fc.integer({ min: 0, max: 255 }), {
          minLength: width * height,
          maxLength: width * height,
        }),
      }),
    );
    fc.assert(
      fc.property(picture, ({ width, grey }) => {
        const height = grey.length / width;
        const data = new Uint8ClampedArray(grey.flatMap((value) => [value, value, value, 255]));
        normaliseFrame({ data, width, height });
        const wanted = plainly(grey, width);
        for (const [at, value] of wanted.entries()) {
          expect(Math.abs((data[at * 4] ?? -9) - value)).toBeLessThanOrEqual(0.51);
          expect(data[at * 4 + 3]).toBe(255);
        }
      }),
      { numRuns: 40 },
    );
  });
});

describe('the lens', () => {
  const lens = (id: string, facing: string, torch: boolean, nearestM?: number) => ({
    id,
    facing,
    torch,
    nearestM,
  });

  it('looks away, has the light, and focuses nearest', () => {
    const wide = lens('wide', 'environment', true, 0.2);
    const tele = lens('tele', 'environment', true, 0.6);
    const ultra = lens('ultra', 'environment', false, 0.02);
    expect(pickLens([lens('self', 'user', false, 0.1), tele, ultra, wide])).toBe('wide');
  });

  it('is left to the browser where there is no choice', () => {
    expect(pickLens([])).toBeNull();
    expect(pickLens([lens('self', 'user', false), lens('back', 'environment', true)])).toBeNull();
  });
});

describe('the size of the pictures', () => {
  const feed = (durations: readonly number[]): number => {
    const isTooSlow = createPace();
    return durations.filter((tookMs) => isTooSlow(tookMs)).length;
  };

  it('is too large once, when the 95th percentile of forty is over 60 ms', () => {
    const quick = Array.from({ length: 38 }, () => 20);
    expect(feed([...quick, 300, 300])).toBe(0);
    expect(feed([...quick.slice(2), 61, 61, 61, 61])).toBe(1);
    expect(feed(Array.from({ length: 400 }, () => 90))).toBe(1);
    expect(feed([...quick, 20, 20, ...Array.from({ length: 40 }, () => 61)])).toBe(1);
  });
});

describe('the sound and the buzz of a verdict', () => {
  const feels = Object.values(VERDICT_FEELS);

  it('are different for each of the five', () => {
    expect(new Set(feels.map(({ notes }) => JSON.stringify(notes))).size).toBe(5);
    expect(new Set(feels.map(({ buzzMs }) => JSON.stringify(buzzMs))).size).toBe(5);
  });

  it('are over within two thirds of a second, and can be heard and felt', () => {
    for (const { notes, buzzMs } of feels) {
      expect(Math.max(...notes.map(({ atMs, ms }) => atMs + ms))).toBeLessThanOrEqual(660);
      expect(buzzMs.reduce((sum: number, ms) => sum + ms, 0)).toBeLessThanOrEqual(660);
      for (const { hz } of notes) expect(hz).toBeGreaterThanOrEqual(150);
    }
  });
});
