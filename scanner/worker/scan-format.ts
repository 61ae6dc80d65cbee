// The kinds of code that are looked for, and which of them prove themselves in one read.

export const SCAN_FORMATS = ['QRCode', 'DataMatrix', 'Code128', 'EAN13', 'EAN8', 'UPCA', 'ITF'] as const;
export type ScanFormat = (typeof SCAN_FORMATS)[number];

export interface CodeSeen {
  readonly text: string;
  readonly format: ScanFormat;
}

function formatOf(name: string): ScanFormat | null {
  if (name.startsWith('QRCode')) return 'QRCode';
  if (name.startsWith('ITF')) return 'ITF';
  if (name === 'ISBN') return 'EAN13';
  return SCAN_FORMATS.find((format) => format === name) ?? null;
}

/**
 * What was seen, from the decoder's own name for the format ("QRCodeModel2", "ITF14", "ISBN"). Null where it is none
 * of ours, or empty. A UPC-A comes out as an EAN-13 with a 0 in front; it is told as it is printed, and as other
 * readers send it, in 12 digits.
 */
export function codeSeen(text: string, name: string): CodeSeen | null {
  const format = formatOf(name);
  if (!format || text === '') return null;
  if (format === 'EAN13' && text.startsWith('0')) return { text: text.slice(1), format: 'UPCA' };
  return { text, format };
}

/** Matrix codes correct and prove themselves; a line of bars may be misread. */
export function isMatrix(format: ScanFormat): boolean {
  return format === 'QRCode' || format === 'DataMatrix';
}
