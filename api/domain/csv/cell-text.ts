// One cell of a list as text: what a spreadsheet put around it comes off, what means "nothing" is nothing.
import { squeeze } from '../fold.ts';

// What makes a spreadsheet take a cell for a formula. Source: OWASP, "CSV Injection"; the full-width forms from memory.
const FORMULA_SIGNS = /^[=+\-@\t\r\n＝＋－＠]/u;
const NOTHING = new Set(
  'na none nil null keine keiner keins ka ohne entfällt aucun aucune sans ninguno sinnumero nessuno nenhum geen nvt unknown unbekannt inconnu'
    .split(' ')
    .map((word) => squeeze(word)),
);

const NOTHING_LENGTH_MAX = 20;

/**
 * The text of a cell: blanks at its ends off, and one apostrophe that was put before a formula sign (exactly one, so
 * that a list we wrote comes back as it was). Line breaks inside stay.
 */
export function cleanCell(cell: string): string {
  const text = cell.replaceAll('\u00a0', ' ').trim();
  return text.startsWith("'") && FORMULA_SIGNS.test(text.slice(1)) ? text.slice(1) : text;
}

/** Whether people write this for "there is none": nothing, a dash, a question mark, n/a, keine, aucun … */
export function meansNothing(text: string): boolean {
  if (text.length > NOTHING_LENGTH_MAX) return false;
  const squeezed = squeeze(text);
  return (squeezed === '' && /^[\s\p{P}\p{S}]*$/u.test(text)) || NOTHING.has(squeezed);
}

/**
 * A text cell that no spreadsheet runs as a formula: an apostrophe before a formula sign. For text only: a number
 * or a date of ours must not get one. Source: OWASP, "CSV Injection".
 */
export function neutralise(text: string): string {
  return FORMULA_SIGNS.test(text) ? `'${text}` : text;
}

/** A record of RFC 4180: every cell in quotes, quotes inside doubled, CRLF at the end. */
export function writeRecord(cells: readonly string[], delimiter: string = ','): string {
  return `${cells.map((cell) => `"${cell.replaceAll('"', '""')}"`).join(delimiter)}\r\n`;
}
