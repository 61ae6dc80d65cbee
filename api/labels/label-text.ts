// Fits the lines of a label into their box: the code always and as large as it goes, then the name, then the contact.
import { type FontRole, textWidth, writable } from './label-font.ts';

export interface TextLine {
  readonly text: string;
  readonly role: FontRole;
  readonly size: number;
  readonly x: number;
  readonly baseline: number;
}

export interface Words {
  readonly whose: string | null;
  readonly code: string;
  readonly name: string | null;
  readonly contact: string | null;
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

// Sizes of letters in millimetres: what is read at arm's length in a dim van, and what is still read close up.
const CODE_MAX_MM = 9;
const CODE_ONE_LINE_MIN_MM = 2;
const NAME_MAX_MM = 6;
const NAME_MIN_MM = 1.9;
const NAME_LINES_MAX = 3;
const LINE_SHARE = 1.18;
// From a line's top to the foot of its letters.
const ASCENT_SHARE = 0.92;

interface Sized {
  readonly text: string;
  readonly role: FontRole;
  readonly size: number;
}

/** Words put into lines of this width; what is left over ends the last line with "…". */
function wrap(text: string, role: FontRole, fit: { size: number; width: number; lines: number }): string[] {
  const isShort = (line: string) => textWidth(line, role, fit.size) <= fit.width;
  const lines: string[] = [];
  let words = text.split(/\s+/).filter((word) => word !== '');
  while (words.length > 0 && lines.length < fit.lines) {
    let taken = words.length;
    while (taken > 1 && !isShort(words.slice(0, taken).join(' '))) taken -= 1;
    const isLast = lines.length === fit.lines - 1 && taken < words.length;
    lines.push(shorten(words.slice(0, isLast ? words.length : taken).join(' '), isShort));
    words = words.slice(taken);
  }
  return lines;
}

function shorten(line: string, isShort: (line: string) => boolean): string {
  if (isShort(line)) return line;
  const signs = [...line];
  while (signs.length > 0 && !isShort(`${signs.join('').trimEnd()}…`)) signs.pop();
  return signs.length === 0 ? '' : `${signs.join('').trimEnd()}…`;
}

/** One line where its letters stay readable, else two, cut where a dash is anyway. */
function codeLines(code: string, box: Box, dotsPerMm: number, share: number): readonly Sized[] {
  const largest = Math.min(CODE_MAX_MM * dotsPerMm, box.height * share);
  const sizeFor = (text: string) => Math.min(largest, box.width / textWidth(text, 'code', 1));
  const one = sizeFor(code);
  if (one >= CODE_ONE_LINE_MIN_MM * dotsPerMm) return [{ text: code, role: 'code', size: one }];
  const cut = code.lastIndexOf('-') + 1;
  const two = [code.slice(0, cut), code.slice(cut)];
  const size = Math.min(sizeFor(two[0] ?? code), (box.height * 0.5) / LINE_SHARE);
  return size > one
    ? two.map((text) => ({ text, role: 'code', size }))
    : [{ text: code, role: 'code', size: one }];
}

const heightOf = (lines: readonly Sized[]): number =>
  lines.reduce((sum, line) => sum + line.size * LINE_SHARE, 0);

/** A further line or lines where there is room left below `above`; none where there is not. */
function further(
  text: string | null,
  role: FontRole,
  fit: {
    readonly box: Box;
    readonly above: readonly Sized[];
    readonly dotsPerMm: number;
    readonly max: number;
  },
): readonly Sized[] {
  const written = writable(text?.trim() ?? '', role);
  const left = fit.box.height - heightOf(fit.above);
  const least = NAME_MIN_MM * fit.dotsPerMm;
  const codeSize = fit.above[0]?.size ?? least;
  if (written === '' || left < least * LINE_SHARE) return [];
  const widest = Math.min(NAME_MAX_MM * fit.dotsPerMm, codeSize * 0.8);
  for (let size = Math.max(least, widest); ; size = Math.max(least, size * 0.92)) {
    const lines = Math.min(fit.max, Math.floor(left / (size * LINE_SHARE)));
    const put = wrap(written, role, { size, width: fit.box.width, lines: Math.max(1, lines) });
    const isWhole = put.join(' ') === written.split(/\s+/).join(' ');
    if (size <= least || (isWhole && lines >= 1))
      return put.filter((line) => line !== '').map((line) => ({ text: line, role, size }));
  }
}

/**
 * The lines in a box of dots, from top to bottom, the block in the middle of its height. A telephone number that does not go
 * in whole is left away: half of one helps nobody.
 */
export function fitLines(
  words: Words,
  box: Box,
  how: { readonly dotsPerMm: number; readonly centred: boolean },
): readonly TextLine[] {
  const { dotsPerMm } = how;
  const hasMore = words.name !== null || words.contact !== null || words.whose !== null;
  const code = codeLines(words.code, box, dotsPerMm, hasMore ? 0.36 : 0.8);
  const head = further(words.whose, 'strong', { box, above: code, dotsPerMm, max: 2 });
  const name = further(words.name, 'text', {
    box,
    above: [...code, ...head],
    dotsPerMm,
    max: NAME_LINES_MAX,
  });
  const above = [...code, ...head, ...name];
  const contact = further(words.contact, 'strong', { box, above, dotsPerMm, max: 1 }).filter(
    ({ text }) => !text.endsWith('…'),
  );
  const sized = [...head, ...code, ...name, ...contact];
  let top = box.y + (box.height - heightOf(sized)) / 2;
  return sized.map((line) => {
    const baseline = top + line.size * ASCENT_SHARE;
    top += line.size * LINE_SHARE;
    const free = box.width - textWidth(line.text, line.role, line.size);
    return { ...line, x: box.x + (how.centred ? free / 2 : 0), baseline };
  });
}
