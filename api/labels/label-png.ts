// A label as PNG for label printers: one pixel is one dot, black or white, and the file says how many dots an inch has.
import { crc32 } from 'node:zlib';
import { Resvg } from '@resvg/resvg-js';
import { labelSvg } from './label-svg.ts';
import type { LabelDrawing } from './lay-out-label.ts';

const MM_PER_INCH = 25.4;
/** After the signature (8 bytes) and the header chunk (25). */
const AFTER_HEADER = 33;
const UNIT_IS_METRE = 1;

/** The pHYs chunk (PNG specification, 11.3.4.3): dots per metre in both directions. */
function sizeChunk(dpi: number): Buffer {
  const perMetre = Math.round((dpi * 1_000) / MM_PER_INCH);
  const chunk = Buffer.alloc(21);
  chunk.writeUInt32BE(9, 0);
  chunk.write('pHYs', 4, 'latin1');
  chunk.writeUInt32BE(perMetre, 8);
  chunk.writeUInt32BE(perMetre, 12);
  chunk.writeUInt8(UNIT_IS_METRE, 16);
  chunk.writeUInt32BE(crc32(chunk.subarray(4, 17)), 17);
  return chunk;
}

export function labelPng(drawing: LabelDrawing): Buffer {
  const image = new Resvg(labelSvg(drawing), {
    fitTo: { mode: 'width', value: drawing.width },
    background: 'white',
    // Grey edges are a matter of luck on a printer that has black and white only.
    shapeRendering: 1,
    font: { loadSystemFonts: false },
  }).render();
  const png = image.asPng();
  return Buffer.concat([png.subarray(0, AFTER_HEADER), sizeChunk(drawing.dpi), png.subarray(AFTER_HEADER)]);
}
