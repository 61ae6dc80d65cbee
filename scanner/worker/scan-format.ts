// The kinds of code that are looked for, and which of them prove themselves in one read.

export const SCAN_FORMATS = ['QRCode', 'DataMatrix', 'Code128', 'EAN13', 'EAN8', 'UPCA', 'ITF'] as const;
export type ScanFormat = (typeof SCAN_FORMATS)[number];

/** The format under a decoder's own name for it ("QRCodeModel2", "ITF14", "ISBN"). Null where it is none of ours. */
export function scanFormatOf(name: string): ScanFormat | null {
  if (name.startsWith('QRCode')) return 'QRCode';
  if (name.startsWith('ITF')) return 'ITF';
  if (name === 'ISBN') return 'EAN13';
  return SCAN_FORMATS.find((format) => format === name) ?? null;
}

/** Matrix codes correct and prove themselves; a line of bars may be misread. */
export function isMatrix(format: ScanFormat): boolean {
  return format === 'QRCode' || format === 'DataMatrix';
}
