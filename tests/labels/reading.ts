// Reads labels back from pixels with decoders and a rasteriser that are not ours: PDFium draws the printed page, zxing-cpp
// reads it.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { PDFiumLibrary } from '@hyzyla/pdfium';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import { type PlannedPrint, planPrint } from '#domain/label-print.ts';
import type { LabelSymbol, PrinterDpi } from '#domain/label-symbol.ts';
import { makeTag, type TagCode } from '#domain/tag-code.ts';
import { type LabelContent, type LabelDrawing, layOutLabel } from '../../api/labels/lay-out-label.ts';

const POINTS_PER_INCH = 72;
const MM_PER_INCH = 25.4;

export interface Pixels {
  readonly data: Uint8ClampedArray<ArrayBuffer>;
  readonly width: number;
  readonly height: number;
}

export const FORMAT_OF = {
  'data-matrix': 'DataMatrix',
  'data-matrix-wide': 'DataMatrix',
  qr: 'QRCode',
  'code-128': 'Code128',
} as const satisfies Record<LabelSymbol, string>;

export function prepareDecoder(): void {
  const require = createRequire(import.meta.url);
  const wasm = readFileSync(require.resolve('zxing-wasm/reader/zxing_reader.wasm'));
  prepareZXingModule({ overrides: { wasmBinary: Uint8Array.from(wasm).buffer } });
}

export function tagOf(seed: number): TagCode {
  const tag = makeTag(Uint8Array.from({ length: 64 }, (_, at) => (at * at * 31 + seed * 97 + at) % 256));
  if (tag === null) throw new Error('sixteen draws give a tag');
  return tag;
}

const PLAIN: Omit<LabelContent, 'tag'> = { name: null, contact: null, whose: null };

export interface Made {
  readonly planned: PlannedPrint;
  readonly drawings: readonly LabelDrawing[];
}

/** Labels of so many tags. */
export function makeLabels(
  choices: { readonly format: string; readonly symbol?: LabelSymbol; readonly dpi: PrinterDpi },
  number: number,
  words: Partial<LabelContent> = {},
): Made {
  const { format, symbol = null, dpi } = choices;
  // The formats' ids are an enumeration; a test that misspells one is told.
  const planned = planPrint({ format, symbol, dpi, start: 1 });
  if ('refusal' in planned) throw new Error(`${format} with ${symbol}: ${planned.refusal.kind}`);
  const drawings = Array.from({ length: number }, (_, at) =>
    layOutLabel({ ...PLAIN, ...words, tag: tagOf(at) }, planned.format, planned.plan, dpi),
  );
  return { planned, drawings };
}

let library: Promise<PDFiumLibrary> | undefined;

/** Every page as a printer of so many dots an inch sees it. */
export async function renderPages(pdf: Uint8Array, dpi: number): Promise<readonly Pixels[]> {
  library ??= PDFiumLibrary.init();
  const document = await (await library).loadDocument(pdf);
  const pages: Pixels[] = [];
  for (const page of document.pages()) {
    const { data, width, height } = await page.render({ scale: dpi / POINTS_PER_INCH, render: 'bitmap' });
    pages.push({ data: Uint8ClampedArray.from(data), width, height });
  }
  document.destroy();
  return pages;
}

export interface BoxMm {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The pixels of one label. */
export function cutOut(page: Pixels, box: BoxMm, dpi: number): Pixels {
  const px = (mm: number) => Math.round((mm * dpi) / MM_PER_INCH);
  const [left, top] = [px(box.xMm), px(box.yMm)];
  const width = Math.min(px(box.widthMm), page.width - left);
  const height = Math.min(px(box.heightMm), page.height - top);
  const data = new Uint8ClampedArray(width * height * 4);
  for (let row = 0; row < height; row += 1) {
    const from = ((top + row) * page.width + left) * 4;
    data.set(page.data.subarray(from, from + width * 4), row * width * 4);
  }
  return { data, width, height };
}

/** The symbols of this kind that are in the picture; one more than expected would show. */
export async function read(
  picture: Pixels | Uint8Array,
  format: (typeof FORMAT_OF)[LabelSymbol],
): Promise<readonly string[]> {
  const input = picture instanceof Uint8Array ? picture : { ...picture, colorSpace: 'srgb' as const };
  const found = await readBarcodes(input, { formats: [format], maxNumberOfSymbols: 2 });
  return found.filter(({ isValid }) => isValid).map(({ text }) => text);
}
