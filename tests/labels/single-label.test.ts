// One label by itself: every edge on a whole dot of the printer, and words that stay inside.
import { DOMParser, onErrorStopParsing } from '@xmldom/xmldom';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { LABEL_FORMATS, roomOf } from '#domain/label-format.ts';
import { LABEL_SYMBOLS, PRINTER_DPI, planLabel, SYMBOL_FACTS } from '#domain/label-symbol.ts';
import { textWidth } from '../../api/labels/label-font.ts';
import { labelPng } from '../../api/labels/label-png.ts';
import { labelSvg } from '../../api/labels/label-svg.ts';
import { layOutLabel } from '../../api/labels/lay-out-label.ts';
import { darkBoxes } from '../../api/labels/symbol-modules.ts';
import { FORMAT_OF, makeLabels, prepareDecoder, read, tagOf } from './reading.ts';

beforeAll(prepareDecoder);

const CONTACT = '+351 912 000 111';
const linesOf = (format: string, words: Parameters<typeof makeLabels>[2]) =>
  makeLabels({ format, dpi: 300 }, 1, words).drawings[0]?.lines.map(({ text }) => text) ?? [];

describe('the symbol', () => {
  it.each(LABEL_SYMBOLS)('%s has as many dark modules as its matrix says, none drawn twice', (symbol) => {
    const { across, down } = SYMBOL_FACTS[symbol];
    const seen = new Set<string>();
    for (const box of darkBoxes(tagOf(3), symbol))
      for (let x = box.x; x < box.x + box.width; x += 1)
        for (let y = box.y; y < box.y + box.height; y += 1) {
          expect(seen.has(`${x} ${y}`)).toBe(false);
          expect(x < across && y < Math.max(1, down)).toBe(true);
          seen.add(`${x} ${y}`);
        }
    // Between a third and two thirds of any symbol are dark.
    expect(seen.size).toBeGreaterThan((across * Math.max(1, down)) / 3);
    expect(seen.size).toBeLessThan((across * Math.max(1, down) * 2) / 3);
  });

  it('has its edges on whole dots and its quiet zone inside the label, on every format at every printer', () => {
    for (const format of LABEL_FORMATS)
      for (const dpi of PRINTER_DPI)
        for (const symbol of LABEL_SYMBOLS) {
          const planned = planLabel(roomOf(format), symbol, dpi);
          if (planned === null) continue;
          const { drawings } = makeLabels({ format: format.id, symbol, dpi }, 1);
          const { dots, quiet } = planned.plan;
          for (const { dark, width } of drawings) {
            const left = Math.min(...dark.map((box) => box.x));
            const right = Math.max(...dark.map((box) => box.x + box.width));
            expect(dark.filter(({ x, width: w }) => (x - left) % dots !== 0 || w % dots !== 0)).toEqual([]);
            expect(left).toBeGreaterThanOrEqual(quiet * dots);
            expect(width - right).toBeGreaterThanOrEqual(quiet * dots);
          }
        }
  });
});

describe('a label as PNG', () => {
  const rolls = LABEL_FORMATS.filter(({ kind }) => kind === 'roll').map(({ id }) => id);

  it.each(rolls)('for %s is one pixel a dot, and reads back at 203 and 300 dots an inch', async (format) => {
    for (const dpi of [203, 300] as const) {
      const { drawings, planned } = makeLabels({ format, dpi }, 1, { name: 'Tide gauge', contact: CONTACT });
      for (const drawing of drawings) {
        const png = labelPng(drawing);
        expect(png.readUInt32BE(16)).toBe(Math.round((planned.format.widthMm * dpi) / 25.4));
        expect(await read(new Uint8Array(png), FORMAT_OF[planned.plan.symbol])).toEqual([tagOf(0)]);
      }
    }
  });

  it('says how large it is: 203 dots an inch are 7,992 a metre', () => {
    const [drawing] = makeLabels({ format: 'roll-12', dpi: 203 }, 1).drawings;
    if (drawing === undefined) throw new Error('one label was asked for');
    const png = labelPng(drawing);
    const at = png.indexOf('pHYs', 0, 'latin1');
    // PNG specification, third edition, 11.3.4.3: pixels per unit on both axes, then 1 for the metre.
    expect([png.readUInt32BE(at + 4), png.readUInt32BE(at + 8), png.readUInt8(at + 12)]).toEqual([
      7_992, 7_992, 1,
    ]);
  });
});

describe('a label as SVG', () => {
  it('is well-formed, whatever the thing is called', () => {
    const { drawings } = makeLabels({ format: 'roll-24', dpi: 300 }, 1, { name: '<b>&"\u0007 𝌆 水' });
    for (const drawing of drawings) {
      const parser = new DOMParser({ onError: onErrorStopParsing });
      const { documentElement } = parser.parseFromString(labelSvg(drawing), 'image/svg+xml');
      expect(documentElement?.namespaceURI).toBe('http://www.w3.org/2000/svg');
    }
  });
});

describe('the words', () => {
  it('are the code, then the name, then the telephone number', () => {
    expect(linesOf('a4-21', { name: 'Tide gauge', contact: CONTACT })).toEqual([
      expect.stringMatching(/^TC-.{6}-..$/),
      'Tide gauge',
      CONTACT,
    ]);
  });

  it('of a hang tag begin with whose it is', () => {
    const [first] = linesOf('a4-hang', { name: 'Lamp', whose: 'Borrowed from Ada Lund, back 2026-12-04' });
    expect(first).toMatch(/^Borrowed from/);
  });

  it('of a long name end with …', () => {
    const lines = linesOf('a4-189', {
      name: 'Landing net with a very long handle for the reed bed, the green one',
    });
    expect(lines.at(-1)).toMatch(/…$/);
  });

  it('leave a telephone number away before they cut it', () => {
    const lines = linesOf('a4-189', { name: 'Landing net with a very long handle', contact: CONTACT });
    expect(lines.join(' ')).not.toContain('+351');
  });

  it('keep Greek, Cyrillic and accents, and put a dot for signs the font does not have', () => {
    expect(linesOf('a4-21', { name: 'Λάμπα Лампа łódź 水' })).toContain('Λάμπα Лампа łódź ·');
  });

  it('stay inside the label, whatever they are', () => {
    const format = fc.constantFrom(...LABEL_FORMATS);
    const words = fc.record({
      name: fc.option(fc.string({ unit: 'grapheme', maxLength: 120 })),
      contact: fc.option(fc.constant(CONTACT)),
      whose: fc.option(fc.string({ maxLength: 60 })),
    });
    fc.assert(
      fc.property(format, fc.constantFrom(...PRINTER_DPI), words, (on, dpi, said) => {
        const planned = planLabel(roomOf(on), null, dpi);
        if (planned === null) throw new Error('every format carries something');
        const drawing = layOutLabel({ ...said, tag: tagOf(1) }, on, planned.plan, dpi);
        expect(drawing.lines.length).toBeGreaterThan(0);
        for (const { text, role, size, x, baseline } of drawing.lines) {
          expect(x).toBeGreaterThanOrEqual(0);
          expect(x + textWidth(text, role, size)).toBeLessThanOrEqual(drawing.width);
          expect(baseline - size).toBeGreaterThanOrEqual(-1);
          expect(baseline + size * 0.3).toBeLessThanOrEqual(drawing.height);
        }
      }),
      { numRuns: 300 },
    );
  });
});
