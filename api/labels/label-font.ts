// The two fonts of labels and what they measure. They are read once, from their package, when the first label is drawn.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { create, type Font } from 'fontkit';
import { assert } from '#domain/invariant.ts';

export type FontRole = 'code' | 'text' | 'strong';
const FILES: Readonly<Record<FontRole, string>> = {
  code: 'dejavu-fonts-ttf/ttf/DejaVuSansMono-Bold.ttf',
  text: 'dejavu-fonts-ttf/ttf/DejaVuSansCondensed.ttf',
  strong: 'dejavu-fonts-ttf/ttf/DejaVuSansCondensed-Bold.ttf',
};

interface LabelFont {
  readonly bytes: Buffer;
  readonly font: Font;
  /** Of each sign that was measured, in the font's units. */
  readonly advances: Map<string, number>;
}
const require = createRequire(import.meta.url);
const opened = new Map<FontRole, LabelFont>();

function openFont(role: FontRole): LabelFont {
  const known = opened.get(role);
  if (known !== undefined) return known;
  const bytes = readFileSync(require.resolve(FILES[role]));
  const font = create(bytes);
  assert('layout' in font, 'the file holds one font');
  const made = { bytes, font, advances: new Map<string, number>() };
  opened.set(role, made);
  return made;
}

export const fontBytes = (role: FontRole): Buffer => openFont(role).bytes;

/** Signs that the font does not have are shown as this, not as an empty box. */
const UNKNOWN_SIGN = '·';

/** The text in signs that the font has: letters of Latin, Greek and Cyrillic script, and more. */
export function writable(text: string, role: FontRole): string {
  const { font } = openFont(role);
  return [...text.normalize('NFC')]
    .map((sign) => (font.hasGlyphForCodePoint(sign.codePointAt(0) ?? 0) ? sign : UNKNOWN_SIGN))
    .join('');
}

/** How wide the text is at a size, in the size's own unit; pairs of letters that move together are not reckoned with. */
export function textWidth(text: string, role: FontRole, size: number): number {
  const { font, advances } = openFont(role);
  let width = 0;
  for (const sign of text) {
    const advance = advances.get(sign) ?? font.glyphForCodePoint(sign.codePointAt(0) ?? 0).advanceWidth;
    advances.set(sign, advance);
    width += advance;
  }
  return (width * size) / font.unitsPerEm;
}

/** The text's outlines as an SVG path, its first letter standing at (x, baseline). */
export function textPath(
  text: string,
  role: FontRole,
  at: { readonly size: number; readonly x: number; readonly baseline: number },
): string {
  const { font } = openFont(role);
  const scale = at.size / font.unitsPerEm;
  const run = font.layout(text);
  let x = at.x;
  let path = '';
  run.glyphs.forEach((glyph, index) => {
    const placed = glyph.path.transform(scale, 0, 0, -scale, x, at.baseline);
    path += placed.toSVG();
    x += (run.positions[index]?.xAdvance ?? 0) * scale;
  });
  return path;
}
