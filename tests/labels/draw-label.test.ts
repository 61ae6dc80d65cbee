// Labels as drawn are read back by a decoder that is not ours (zxing-cpp), from pixels that are printer dots.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Resvg } from '@resvg/resvg-js';
import { DOMParser, onErrorStopParsing } from '@xmldom/xmldom';
import { beforeAll, describe, expect, it } from 'vitest';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { makeTag, type TagCode } from '#domain/tag-code.ts';
import { drawLabel, type Label, type PrinterDpi } from '../../api/labels/draw-label.ts';

const MM_PER_INCH = 25.4;

function tagOf(seed: number): TagCode {
  const tag = makeTag(Uint8Array.from({ length: 64 }, (_, at) => (at * at * 31 + seed * 97 + at) % 256));
  if (tag === null) throw new Error('sixteen draws give a tag');
  return tag;
}

/** As the printer does it: one pixel for each dot. */
function print(label: Label, dpi: number, scale = 1) {
  const width = Math.round((label.widthMm * dpi * scale) / MM_PER_INCH);
  return new Resvg(label.svg, {
    fitTo: { mode: 'width', value: width },
    background: 'white',
    font: { loadSystemFonts: false },
  }).render();
}

/** Lengths of the runs of dark and light along a row of pixels. */
function runsAcross(image: ReturnType<typeof print>, row: number): readonly number[] {
  const runs: number[] = [];
  let before: number | undefined;
  // Every access copies the picture.
  const { pixels, width } = image;
  for (let x = 0; x < width; x += 1) {
    const shade = pixels[(row * width + x) * 4];
    if (shade === before) runs[runs.length - 1] = (runs.at(-1) ?? 0) + 1;
    else runs.push(1);
    before = shade;
  }
  return runs;
}

beforeAll(() => {
  const require = createRequire(import.meta.url);
  const wasm = readFileSync(require.resolve('zxing-wasm/reader/zxing_reader.wasm'));
  prepareZXingModule({ overrides: { wasmBinary: Uint8Array.from(wasm).buffer } });
});

const prints: readonly (readonly [PrinterDpi, number | undefined])[] = [
  [203, undefined],
  [203, 2],
  [300, undefined],
  [300, 4],
  [600, undefined],
];

describe.each(prints)('a label for a printer of %i dots per inch, %s dots a module', (dpi, dots) => {
  const chosen = dots === undefined ? { dpi } : { dpi, dots };

  it('is read back as the tag it was drawn for', async () => {
    for (const tag of [1, 2, 3, 4, 5, 6, 7, 8].map(tagOf)) {
      const png = print(drawLabel(tag, chosen), dpi).asPng();
      const found = await readBarcodes(new Uint8Array(png), { formats: ['Code128'], maxNumberOfSymbols: 1 });
      expect(found.map(({ text, format, isValid }) => ({ text, format, isValid }))).toEqual([
        { text: tag, format: 'Code128', isValid: true },
      ]);
    }
  });

  it('has every edge on a whole dot, and quiet zones of ten modules', () => {
    const label = drawLabel(tagOf(9), chosen);
    const image = print(label, dpi);
    const module = Math.round((label.moduleMm * dpi) / MM_PER_INCH);
    const runs = runsAcross(image, Math.round(image.height / 3));
    expect(runs.filter((run) => run % module !== 0)).toEqual([]);
    expect(runs[0]).toBe(10 * module);
    expect(runs.at(-1)).toBe(10 * module);
    // Code 128 (ISO/IEC 15417): start 11, ten characters and a check character of 11 modules, stop 13.
    expect(image.width).toBe((11 + 11 * 11 + 13 + 20) * module);
  });
});

describe('a label', () => {
  it('is of the size it says, in millimetres, with the code readable below', () => {
    const tag = tagOf(3);
    const label = drawLabel(tag, { dpi: 203 });
    expect(label.moduleMm).toBeCloseTo(0.3754, 4);
    expect(label.widthMm).toBeCloseTo(165 * 0.37537, 1);
    expect(label.svg).toContain(`width="${label.widthMm}mm"`);
    expect(label.svg).toContain(`>TC-${tag.slice(2, 8)}-${tag.slice(8)}</text>`);
  });

  it('is well-formed XML, as a parser that is not the one of a browser reads it', () => {
    const { documentElement } = new DOMParser({ onError: onErrorStopParsing }).parseFromString(
      drawLabel(tagOf(5), { dpi: 300 }).svg,
      'image/svg+xml',
    );
    expect(documentElement?.namespaceURI).toBe('http://www.w3.org/2000/svg');
  });

  it('that a layout scaled is still read', async () => {
    const tag = tagOf(4);
    const png = print(drawLabel(tag, { dpi: 203 }), 203, 2.37).asPng();
    const found = await readBarcodes(new Uint8Array(png), { formats: ['Code128'] });
    expect(found.map((symbol) => symbol.text)).toEqual([tag]);
  });

  it('is not drawn with a broken dot', () => {
    expect(() => drawLabel(tagOf(1), { dpi: 203, dots: 2.4 })).toThrow('whole dots');
  });
});
