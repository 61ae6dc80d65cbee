// Draws the linear label of a tag (Code 128) as SVG, in whole printer dots: a module of 2.4 dots reads badly, one of
// two or three reads well (own measurements). Matrix codes are what a phone reads best; this one is for hand-held readers.
import JsBarcode from 'jsbarcode';
import { assert } from '#domain/invariant.ts';
import { showTag, type TagCode } from '#domain/tag-code.ts';

const MM_PER_INCH = 25.4;
/** ISO/IEC 15417: a quiet zone of ten modules on both sides. */
const QUIET_MODULES = 10;
const BAR_HEIGHT_MM = 20;
const TOP_MM = 1;
const TEXT_HEIGHT_MM = 4.5;
// Room for the descent of the letters below the line they stand on.
const TEXT_BASE_SHARE = 0.78;

export const PRINTER_DPI = [203, 300, 600] as const;
export type PrinterDpi = (typeof PRINTER_DPI)[number];

/** Dots per module that make a module of 0.375 to 0.43 mm, the smallest that reads at arm's length. */
const DOTS_USUAL: Readonly<Record<PrinterDpi, number>> = { 203: 3, 300: 5, 600: 9 };
export const DOTS_MIN = 2;
export const DOTS_MAX = 20;

export type LabelPrint = {
  readonly dpi: PrinterDpi;
  /** Whole printer dots per module; usual for the printer where not said. */
  readonly dots?: number;
};

export type Label = {
  readonly svg: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly moduleMm: number;
};

// Code set A holds all that a tag is made of. Started in A it is also read by decoders that stumble over a start in B
// next to dark surroundings (own measurements).
function modulesOf(tag: TagCode): string {
  const target: { encodings?: readonly { readonly data: string }[] } = {};
  JsBarcode(target, tag, { format: 'CODE128A' });
  const modules = target.encodings?.map((encoding) => encoding.data).join('') ?? '';
  assert(/^[01]+$/.test(modules), 'a tag has a Code 128 symbol');
  return modules;
}

/** The bars as one path in dots: each run of dark modules is a rectangle. */
function barsOf(
  modules: string,
  left: number,
  box: { readonly dots: number; readonly top: number; readonly height: number },
): string {
  let path = '';
  for (const run of modules.matchAll(/1+/g)) {
    const width = run[0].length * box.dots;
    path += `M${left + run.index * box.dots} ${box.top}h${width}v${box.height}h-${width}z`;
  }
  return path;
}

/**
 * The label of a tag: bars of 20 mm, quiet zones, and the code with its dashes below. Sizes are in millimetres and the
 * drawing's unit is one printer dot, so that no edge falls between two dots; print it unscaled. `dots` is a whole number
 * from 2 to 20. Source of the symbol: ISO/IEC 15417, by jsbarcode.
 */
export function drawLabel(tag: TagCode, print: LabelPrint): Label {
  const dots = print.dots ?? DOTS_USUAL[print.dpi];
  assert(Number.isInteger(dots) && dots >= DOTS_MIN && dots <= DOTS_MAX, 'a module is 2 to 20 whole dots');
  const inDots = (mm: number) => Math.round((mm * print.dpi) / MM_PER_INCH);
  const inMm = (number: number) => Number(((number * MM_PER_INCH) / print.dpi).toFixed(4));
  const modules = modulesOf(tag);
  const box = { dots, top: inDots(TOP_MM), height: inDots(BAR_HEIGHT_MM) };
  const width = (modules.length + 2 * QUIET_MODULES) * dots;
  const textHeight = inDots(TEXT_HEIGHT_MM);
  const height = box.top + box.height + textHeight;
  const bars = barsOf(modules, QUIET_MODULES * dots, box);
  const base = box.top + box.height + Math.round(textHeight * TEXT_BASE_SHARE);
  const svg = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${inMm(width)}mm" height="${inMm(height)}mm" viewBox="0 0 ${width} ${height}">`,
    `<title>${showTag(tag)}</title>`,
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    `<path d="${bars}" fill="#000" shape-rendering="crispEdges"/>`,
    `<text x="${width / 2}" y="${base}" text-anchor="middle" font-family="ui-monospace, monospace" font-weight="600" font-size="${inDots(3.6)}" fill="#000">${showTag(tag)}</text>`,
    '</svg>',
  ].join('');
  return { svg, widthMm: inMm(width), heightMm: inMm(height), moduleMm: inMm(dots) };
}
