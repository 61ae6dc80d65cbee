// What a label carries and from how far it reads, against what was measured with a simulated camera.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ARM_MM,
  DOTS_PER_MODULE_MIN,
  LABEL_SYMBOLS,
  labelSymbolSchema,
  PRINTER_DPI,
  planLabel,
  readingDistanceMm,
  readsAtArm,
  SYMBOL_FACTS,
} from '#domain/label-symbol.ts';
import measured from '../check-values/label-reading.json' with { type: 'json' };

const symbolOf = (text: string) => labelSymbolSchema.parse(text);

describe('the distance from which a symbol reads', () => {
  const within = measured.distances.rows.filter(
    ({ symbol, moduleMm, atMm }) => readingDistanceMm(symbolOf(symbol), moduleMm) >= atMm,
  );

  it('is claimed only where three of four or more were read', () => {
    expect(within.length).toBeGreaterThan(6);
    expect(within.filter(({ read }) => read < 75)).toEqual([]);
  });

  it('is not claimed for what was hardly read', () => {
    const hardly = measured.distances.rows.filter(({ read }) => read < 50);
    expect(hardly.length).toBeGreaterThan(3);
    for (const { symbol, moduleMm, atMm } of hardly)
      expect(readingDistanceMm(symbolOf(symbol), moduleMm)).toBeLessThan(atMm);
  });

  it.each(measured.modulesAtArm.rows)('asks of $symbol the module that was found to be enough', (row) => {
    const { moduleAtArmMm } = SYMBOL_FACTS[symbolOf(row.symbol)];
    expect(moduleAtArmMm).toBe(row.takeMm);
    expect(moduleAtArmMm).toBeGreaterThan(row.bareMm);
  });

  it.each(measured.pixelsPerModule.rows)('leaves $symbol more pixels than it needs at 25 cm', (row) => {
    // A picture of 1,920 pixels and 65° shows so much of the label's plane.
    const pixelsPerMm = 1_920 / (2 * Math.tan((65 / 2) * (Math.PI / 180)) * ARM_MM);
    expect(SYMBOL_FACTS[symbolOf(row.symbol)].moduleAtArmMm * pixelsPerMm).toBeGreaterThan(row.pixels * 1.2);
  });
});

describe('the quiet zone', () => {
  it.each(measured.quietZones.rows.filter(({ read }) => read < 20))(
    'of $symbol is never down to $modules modules',
    ({ symbol, modules }) => {
      expect(SYMBOL_FACTS[symbolOf(symbol)].quietLeast).toBeGreaterThan(modules);
    },
  );
});

describe('a small tag', () => {
  const TAG = { widthMm: 23.8, heightMm: 8.4 };

  it.each(PRINTER_DPI)('carries a Data Matrix of half a millimetre at %i dots an inch', (dpi) => {
    const planned = planLabel(TAG, null, dpi);
    expect(planned?.plan.symbol).toBe('data-matrix');
    expect(planned?.plan.moduleMm).toBeGreaterThanOrEqual(0.5);
    expect(planned?.better).toBeNull();
  });

  it('with a QR code on it says that it will not read at 25 cm, and what would', () => {
    const planned = planLabel(TAG, 'qr', 203);
    expect(planned?.plan.readsToMm).toBe(139);
    expect(planned?.better?.symbol).toBe('data-matrix');
  });

  it('has no room for Code 128', () => {
    expect(planLabel(TAG, 'code-128', 600)).toBeNull();
  });
});

describe('other labels', () => {
  it('on a case carry a QR code of 0.75 mm or more', () => {
    for (const dpi of PRINTER_DPI) {
      const planned = planLabel({ widthMm: 60, heightMm: 35 }, null, dpi);
      expect(planned?.plan.symbol).toBe('qr');
      expect(planned?.plan.moduleMm).toBeGreaterThanOrEqual(0.75);
    }
  });

  it('on a tape of 9 mm carry the low Data Matrix, because the square one would be too fine', () => {
    expect(planLabel({ widthMm: 38, heightMm: 7 }, null, 203)?.plan.symbol).toBe('data-matrix-wide');
  });

  it('of 95 mm carry Code 128 that reads at arm’s length', () => {
    const planned = planLabel({ widthMm: 95, heightMm: 40 }, 'code-128', 203);
    expect(planned && readsAtArm(planned.plan)).toBe(true);
  });

  it('too small for anything get nothing', () => {
    expect(planLabel({ widthMm: 4, heightMm: 4 }, null, 203)).toBeNull();
  });
});

describe('whatever the room', () => {
  const room = fc.record({
    widthMm: fc.double({ min: 1, max: 200, noNaN: true }),
    heightMm: fc.double({ min: 1, max: 200, noNaN: true }),
  });
  const wish = fc.option(fc.constantFrom(...LABEL_SYMBOLS));
  const dpi = fc.constantFrom(...PRINTER_DPI);

  it('the symbol and its quiet zone stay inside, in whole dots', () => {
    fc.assert(
      fc.property(room, wish, dpi, (inside, wished, dots) => {
        const plan = planLabel(inside, wished, dots)?.plan;
        if (plan === undefined) return;
        const { across, down } = SYMBOL_FACTS[plan.symbol];
        expect(Number.isInteger(plan.dots)).toBe(true);
        expect(plan.dots).toBeGreaterThanOrEqual(DOTS_PER_MODULE_MIN);
        expect(plan.moduleMm).toBeCloseTo((plan.dots * 25.4) / dots, 9);
        expect((across + 2 * plan.quiet) * plan.moduleMm).toBeLessThanOrEqual(inside.widthMm + 1e-6);
        if (down > 0)
          expect((down + 2 * plan.quiet) * plan.moduleMm).toBeLessThanOrEqual(inside.heightMm + 1e-6);
      }),
    );
  });

  it('what is offered instead reads from further, and only where the wish does not read at 25 cm', () => {
    fc.assert(
      fc.property(room, wish, dpi, (inside, wished, dots) => {
        const planned = planLabel(inside, wished, dots);
        if (planned === null || planned.better === null) return;
        expect(planned.plan.readsToMm).toBeLessThan(ARM_MM);
        expect(planned.better.readsToMm).toBeGreaterThan(planned.plan.readsToMm);
      }),
    );
  });

  it('a finer printer never makes it read from nearer', () => {
    fc.assert(
      fc.property(room, (inside) => {
        const [coarse, fine] = [planLabel(inside, 'data-matrix', 300), planLabel(inside, 'data-matrix', 600)];
        if (coarse === null) return;
        expect(fine?.plan.readsToMm).toBeGreaterThanOrEqual(coarse.plan.readsToMm);
      }),
    );
  });
});
