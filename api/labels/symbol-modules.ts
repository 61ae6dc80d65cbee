// The modules of a tag's symbol, dark or light, as rectangles of whole modules. Data Matrix and QR are made by bwip-js,
// Code 128 by jsbarcode.
import bwip from 'bwip-js/node';
import JsBarcode from 'jsbarcode';
import { assert } from '#domain/invariant.ts';
import { type LabelSymbol, SYMBOL_FACTS } from '#domain/label-symbol.ts';
import type { TagCode } from '#domain/tag-code.ts';

/** In modules from the symbol's upper left corner, without the quiet zone. */
export interface DarkBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

const MATRICES = {
  'data-matrix': { bcid: 'datamatrix', version: '14x14' },
  'data-matrix-wide': { bcid: 'datamatrix', version: '8x32' },
  qr: { bcid: 'qrcode', eclevel: 'Q', version: '1' },
} as const;

function rowsOf(tag: TagCode, symbol: keyof typeof MATRICES): readonly string[] {
  const [raw] = bwip.raw({ ...MATRICES[symbol], text: tag });
  assert(raw !== undefined && 'pixs' in raw, 'bwip-js gives a matrix');
  const bits = [...raw.pixs].join('');
  return Array.from({ length: raw.pixy }, (_, row) => bits.slice(row * raw.pixx, (row + 1) * raw.pixx));
}

// Code set A holds all that a tag is made of. Started in A it is also read by decoders that stumble over a start in B
// next to dark surroundings (own measurements).
function barsOf(tag: TagCode): readonly string[] {
  const target: { encodings?: readonly { readonly data: string }[] } = {};
  JsBarcode(target, tag, { format: 'CODE128A' });
  return [target.encodings?.map((encoding) => encoding.data).join('') ?? ''];
}

/**
 * The dark modules of the tag's symbol, runs along each row as one box. Equal runs of neighbouring rows are one box, so
 * that no printer shows a seam between them.
 */
export function darkBoxes(tag: TagCode, symbol: LabelSymbol): readonly DarkBox[] {
  const rows = symbol === 'code-128' ? barsOf(tag) : rowsOf(tag, symbol);
  const { across, down } = SYMBOL_FACTS[symbol];
  assert(rows.length === Math.max(1, down) && rows[0]?.length === across, 'the symbol is of the size it has');
  const boxes: DarkBox[] = [];
  let open = new Map<string, DarkBox>();
  rows.forEach((row, y) => {
    const next = new Map<string, DarkBox>();
    for (const run of row.matchAll(/1+/g)) {
      const key = `${run.index} ${run[0].length}`;
      const above = open.get(key);
      const box =
        above === undefined
          ? { x: run.index, y, width: run[0].length, height: 1 }
          : { ...above, height: above.height + 1 };
      next.set(key, box);
      open.delete(key);
    }
    boxes.push(...open.values());
    open = next;
  });
  return [...boxes, ...open.values()];
}
