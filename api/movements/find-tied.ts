// Which thing the code of a scan means, where the device did not know (law 3). A code's history is dated: what counts
// is what the code named at the line's own time.
import type postgres from 'postgres';
import type { Movement } from '#domain/movement.ts';

export interface Meaning {
  readonly code: string;
  readonly thingId: string;
  readonly since: number;
  readonly until: number | null;
}

/** What the code named at that time; before its first meaning, that one: the scan was what made somebody tie it. */
function meaningAt(meanings: readonly Meaning[], at: number): Meaning | undefined {
  const current = meanings.find(
    (meaning) => meaning.since <= at && (meaning.until === null || at < meaning.until),
  );
  if (current) return current;
  const [first] = meanings;
  return first && at < first.since ? first : undefined;
}

const openCodeOf = (line: Movement) => (line.kind === 'move' && line.thingId === null ? line.code : null);

/** What the unknown codes of some lines have named over time. A product number (GTIN) names many things and ties nothing. */
export async function readMeanings(
  tx: postgres.ISql,
  lines: readonly Movement[],
): Promise<readonly Meaning[]> {
  const codes = [...new Set(lines.flatMap((line) => openCodeOf(line) ?? []))];
  if (codes.length === 0) return [];
  return tx<Meaning[]>`
    select code, thing_id as "thingId", since, until from code
    where code = any(${codes}::text[]) and kind <> 'gtin' and thing_id is not null order by code, since, id`;
}

/** The things of unknown codes, by line id. */
export function tieLines(
  meanings: readonly Meaning[],
  lines: readonly { readonly line: Movement; readonly at: number }[],
): ReadonlyMap<string, string> {
  const tied = new Map<string, string>();
  for (const { line, at } of lines) {
    const code = openCodeOf(line);
    if (code === null) continue;
    const ofCode = meanings.filter((row) => row.code === code);
    const meaning = meaningAt(ofCode, at);
    if (meaning) tied.set(line.id, meaning.thingId);
  }
  return tied;
}
