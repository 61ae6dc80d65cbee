// From the bytes of a file to text: which encoding a list was saved in.

export const ENCODINGS = ['utf-8', 'utf-8-bom', 'utf-16le', 'utf-16be', 'windows-1252'] as const;
export type Encoding = (typeof ENCODINGS)[number];

/** Not a list at all: holds NUL characters, as pictures and spreadsheet files do. */
export type DecodeRefusal = { readonly kind: 'not-a-list' };
export type Decoded =
  | { readonly text: string; readonly encoding: Encoding }
  | { readonly refusal: DecodeRefusal };

function encodingOfMark(bytes: Uint8Array): Encoding | null {
  const [first, second, third] = bytes;
  if (first === 0xef && second === 0xbb && third === 0xbf) return 'utf-8-bom';
  if (first === 0xff && second === 0xfe) return 'utf-16le';
  return first === 0xfe && second === 0xff ? 'utf-16be' : null;
}

function decodeAs(bytes: Uint8Array, label: string): string | null {
  try {
    return new TextDecoder(label, { fatal: true }).decode(bytes);
  } catch {
    // Bytes that are no such text: an answer, not a fault.
    return null;
  }
}

// What stands at 80 to 9F in Windows-1252; the rest is ISO 8859-1. Source: WHATWG Encoding, index windows-1252. By hand
// because some releases of Node decode this label as ISO 8859-1.
const AT_80_TO_9F = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ';

function decodeWindows1252(bytes: Uint8Array): string {
  const latin = Buffer.from(bytes).toString('latin1');
  return latin.replace(/[\u0080-\u009f]/g, (character) => AT_80_TO_9F.charAt(character.charCodeAt(0) - 0x80));
}

/**
 * Reads the bytes as what their byte order mark says, else as UTF-8 where they are valid UTF-8 from the first to the last
 * byte, else as Windows-1252, in which every byte means something. The mark is not part of the text.
 */
export function decodeFile(bytes: Uint8Array): Decoded {
  const marked = encodingOfMark(bytes);
  const label = marked === 'utf-8-bom' ? 'utf-8' : (marked ?? 'utf-8');
  const text = decodeAs(bytes, label);
  const decoded = text === null ? decodeWindows1252(bytes) : text;
  if (decoded.includes('\u0000')) return { refusal: { kind: 'not-a-list' } };
  return { text: decoded, encoding: text === null ? 'windows-1252' : (marked ?? 'utf-8') };
}
