// The key of a list's line, kept on the thing that it made: the same file twice changes nothing.
import { v5 } from 'uuid';
import { squeeze } from '../fold.ts';
import type { CodeKind } from '../scanned-text.ts';
import { cleanCell } from './cell-text.ts';

// A namespace of our own, drawn once; changing it would bring every list in again.
const CELLS_NAMESPACE = 'b0a6a1c3-5b0f-4f0e-8a7e-2f64d1c0e9d7';

/** What of a thing makes the keys under which a line would find it again. */
export type Known = {
  readonly maker: string | null;
  readonly model: string | null;
  readonly serial: string | null;
  readonly codes: readonly { readonly kind: CodeKind; readonly code: string }[];
};

/** A tag or another code names one thing; a product number does not, and gives no key. */
function keysOfCodes(codes: Known['codes']): string[] {
  return codes.filter((code) => code.kind !== 'gtin').map((code) => `code:${code.code}`);
}

function keyOfSerial(known: Pick<Known, 'maker' | 'model' | 'serial'>): string | null {
  const serial = squeeze(known.serial ?? '');
  if (serial === '') return null;
  return `serial:${v5(JSON.stringify([squeeze(known.maker ?? ''), squeeze(known.model ?? ''), serial]), CELLS_NAMESPACE)}`;
}

/** All keys by which a thing is known: its codes, and its maker, model and serial where it has a serial. */
export function keysOf(known: Known): readonly string[] {
  const serial = keyOfSerial(known);
  return serial === null ? keysOfCodes(known.codes) : [...keysOfCodes(known.codes), serial];
}

/**
 * The hash of a row's normalised cells: case, blanks and an empty column more or less make no difference, nor does
 * the order of the columns where they have headings. Two rows alike have the same hash; `keyOfCells` tells them apart.
 */
export function hashCells(row: readonly string[], headings: readonly string[]): string {
  const cells = row.flatMap((cell, at) => {
    const text = cleanCell(cell).normalize('NFKC').toLowerCase().replace(/\s+/gu, ' ');
    return text === '' ? [] : [JSON.stringify([squeeze(headings[at] ?? '') || String(at), text])];
  });
  return v5(cells.sort().join('\n'), CELLS_NAMESPACE);
}

/** The key of a row without a code and a serial: its hash, and that it is the n-th (from 1) of its like in the file. */
export function keyOfCells(hash: string, occurrence: number): string {
  return `cells:${hash}:${occurrence}`;
}

/** The key of the n-th (from 1) item that one line makes. */
export function keyOfNth(key: string, number: number): string {
  return number === 1 ? key : `${key}#${number}`;
}
