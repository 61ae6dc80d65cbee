// What a fake camera sees: a label, drawn by libraries that are not the decoder's, on dark gear, as a y4m film that
// Chromium plays in a loop; and the same picture as a PNG for the phone's library.
import assert from 'node:assert/strict';
import { closeSync, openSync, writeSync } from 'node:fs';
import { Resvg } from '@resvg/resvg-js';
import bwipjs from 'bwip-js';
import JsBarcode from 'jsbarcode';

const WIDTH = 1_280;
const HEIGHT = 720;
const FRAMES = 10;
const FPS = 30;
const DARK = '#2a2925';

export type LabelKind = 'code128' | 'ean13' | 'upca' | 'itf' | 'qrcode' | 'datamatrix';

export interface Label {
  readonly kind: LabelKind;
  readonly text: string;
  /** Centre in the frame, in px. */
  readonly x?: number;
  readonly y?: number;
  /** Width of one module in px. */
  readonly module?: number;
}

interface Drawn {
  readonly width: number;
  readonly height: number;
  readonly svg: string;
}

const LINEAR = { code128: 'CODE128', ean13: 'EAN13', upca: 'UPC', itf: 'ITF' } as const;

const BARS_PX = 150;
const LINEAR_QUIET = 10;

/** Dark modules as rectangles on a white label, `columns` to a row, with a quiet zone around them. */
function drawModules(
  dark: readonly boolean[],
  { columns, module, tall, quiet }: { columns: number; module: number; tall: number; quiet: number },
): Drawn {
  const width = (columns + 2 * quiet) * module;
  const height = (dark.length / columns) * tall + 2 * quiet * module;
  const rects = dark.map((isDark, at) => {
    const x = ((at % columns) + quiet) * module;
    const y = Math.floor(at / columns) * tall + quiet * module;
    return isDark ? `<rect x="${x}" y="${y}" width="${module}" height="${tall}"/>` : '';
  });
  return { width, height, svg: `<rect width="${width}" height="${height}" fill="#fff"/>${rects.join('')}` };
}

function drawLinear(format: string, text: string, module: number): Drawn {
  const made: { encodings?: readonly { readonly data: string }[] } = {};
  JsBarcode(made, text, { format });
  const bars = (made.encodings ?? []).map(({ data }) => data).join('');
  assert(bars.length > 0, `jsbarcode draws ${text} as ${format}`);
  const dark = [...bars].map((bar) => bar === '1');
  return drawModules(dark, { columns: dark.length, module, tall: BARS_PX, quiet: LINEAR_QUIET });
}

function drawMatrix(bcid: 'qrcode' | 'datamatrix', text: string, module: number): Drawn {
  const [raw] = bwipjs.raw({ bcid, text, ...(bcid === 'qrcode' ? { eclevel: 'Q' } : {}) });
  assert(raw && 'pixs' in raw, `bwip-js draws ${text} as ${bcid}`);
  const dark = [...raw.pixs].map((bit) => bit === 1);
  return drawModules(dark, { columns: raw.pixx, module, tall: module, quiet: 4 });
}

function drawLabel({ kind, text, module = 4 }: Label): Drawn {
  if (kind === 'qrcode' || kind === 'datamatrix') return drawMatrix(kind, text, module * 2);
  return drawLinear(LINEAR[kind], text, module);
}

function placed(label: Label): string {
  const { width, height, svg } = drawLabel(label);
  const x = (label.x ?? WIDTH / 2) - width / 2;
  const y = (label.y ?? HEIGHT / 2) - height / 2;
  return `<g transform="translate(${x} ${y})" shape-rendering="crispEdges">${svg}</g>`;
}

function render(labels: readonly Label[]): { readonly pixels: Uint8Array; readonly png: Buffer } {
  const scene = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}"><rect width="${WIDTH}" height="${HEIGHT}" fill="${DARK}"/>${labels.map(placed).join('')}</svg>`;
  const image = new Resvg(scene).render();
  return { pixels: image.pixels, png: image.asPng() };
}

/** One picture of these labels on a dark surface. */
export function makePicture(labels: readonly Label[]): Buffer {
  return render(labels).png;
}

/** Luminance in the range of video, 16 to 235, by the shares of ITU-R BT.601. */
function lumaOf(pixels: Uint8Array): Buffer {
  const luma = Buffer.alloc(WIDTH * HEIGHT);
  for (let at = 0; at < luma.length; at += 1) {
    const [red = 0, green = 0, blue = 0] = pixels.subarray(at * 4, at * 4 + 3);
    luma[at] = 16 + Math.round(((0.299 * red + 0.587 * green + 0.114 * blue) * 219) / 255);
  }
  return luma;
}

/** Writes a film of these labels for `--use-file-for-fake-video-capture`. */
export function makeVideo(file: string, labels: readonly Label[]): string {
  const luma = lumaOf(render(labels).pixels);
  const colour = Buffer.alloc((WIDTH * HEIGHT) / 2, 128);
  const out = openSync(file, 'w');
  writeSync(out, `YUV4MPEG2 W${WIDTH} H${HEIGHT} F${FPS}:1 Ip A1:1 C420jpeg\n`);
  for (let frame = 0; frame < FRAMES; frame += 1) {
    writeSync(out, 'FRAME\n');
    writeSync(out, luma);
    writeSync(out, colour);
  }
  closeSync(out);
  return file;
}
