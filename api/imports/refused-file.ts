// The lines that were refused, as a file to correct and bring in again: as they were, with the reason in a column.
import { neutralise, writeRecord } from '#domain/csv/cell-text.ts';
import type { PlannedLine } from '#domain/csv/plan-lines.ts';
import type { UnderstoodList } from './understand-file.ts';

/** Why a line is refused, in one sentence for each cell at fault. */
export function reasonOf(line: PlannedLine): string {
  return line.faults
    .map(({ heading, detail }) => (heading === '' ? detail : `${heading}: ${detail}`))
    .join(' · ');
}

/**
 * Null when no line was refused. UTF-8 with a byte order mark, the list's own delimiter and headings, no cell that a
 * spreadsheet would run; bringing it in again reads every cell as it was.
 */
export function writeRefused(list: UnderstoodList, lines: readonly PlannedLine[]): string | null {
  const refused = lines.filter((line) => line.does === 'refused');
  if (refused.length === 0) return null;
  const width = list.columns.length;
  const write = (cells: readonly string[], reason: string) => {
    const padded = Array.from({ length: width }, (_, at) => neutralise(cells[at] ?? ''));
    return writeRecord([...padded, neutralise(reason)], list.delimiter);
  };
  const headings = list.headingRow < 0 ? '' : write(list.rows[list.headingRow] ?? [], 'Why it was refused');
  return `\ufeff${headings}${refused.map((line) => write(list.rows[line.row - 1] ?? [], reasonOf(line))).join('')}`;
}
