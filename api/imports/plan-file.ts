// The plan of a list against what the outfit has already.
import type postgres from 'postgres';
import { keysOf } from '#domain/csv/line-key.ts';
import { judgeLines, type PlannedLine, type ReadRow, readLines } from '#domain/csv/plan-lines.ts';
import { squeeze } from '#domain/fold.ts';
import type { Choices } from './choices.ts';
import type { UnderstoodList } from './understand-file.ts';

async function readKeysInUse(tx: postgres.ISql, keys: readonly string[]): Promise<readonly string[]> {
  const codes = keys.filter((key) => key.startsWith('code:')).map((key) => key.slice('code:'.length));
  const rows = await tx<{ key: string }[]>`
    select import_key as key from thing where import_key = any(${[...keys]})
    union select 'code:' || code from code where code = any(${codes}) and until is null and kind <> 'gtin'`;
  return rows.map((row) => row.key);
}

/** Things with one of the serial numbers, however it is written; entered by hand they have no key of a list. */
async function readSerialsInUse(tx: postgres.ISql, lines: readonly ReadRow[]): Promise<readonly string[]> {
  const serials = [
    ...new Set(lines.flatMap(({ facts }) => (facts.serial === null ? [] : [squeeze(facts.serial)]))),
  ];
  if (serials.length === 0) return [];
  const rows = await tx<{ maker: string | null; model: string | null; serial: string }[]>`
    select maker, model, serial from thing
    where serial is not null and regexp_replace(lower(serial), '[[:space:][:punct:]]', '', 'g') = any(${serials})`;
  return rows.flatMap((row) => keysOf({ ...row, codes: [] }));
}

/** What each line will do, given what is in the record now. */
export async function planFile(
  tx: postgres.ISql,
  list: UnderstoodList,
  choices: Choices,
  currency: string,
): Promise<readonly PlannedLine[]> {
  const lines = readLines(list.rows, { headingRow: list.headingRow, columns: list.columns, currency });
  const keys = lines.flatMap((line) => line.keys);
  const known = new Set([...(await readKeysInUse(tx, keys)), ...(await readSerialsInUse(tx, lines))]);
  return judgeLines(lines, { numberMakes: choices.numberMakes, isKnown: (key) => known.has(key) });
}
