// The classes that a list names: those that are there, and new ones for the rest.
import type { PlannedLine } from '#domain/csv/plan-lines.ts';
import { fold } from '#domain/fold.ts';
import type { Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';
import { newId } from './new-id.ts';

export type Found = { readonly idOf: (name: string) => string | null; readonly made: number };

/** A new class answers by number where everything of it is counted; else its things are looked at. */
function checkOf(lines: readonly PlannedLine[]): string {
  return lines.every((line) => line.does === 'makes-counted-gear') ? 'by-number' : 'seen';
}

/** Names are the same when they fold to the same words. New classes stand at the top of the tree. */
export async function findClasses(tx: Tx, lines: readonly PlannedLine[], now: number): Promise<Found> {
  const named = new Map<string, { readonly name: string; readonly lines: PlannedLine[] }>();
  for (const line of lines) {
    const name = line.facts.className;
    if (name === null) continue;
    const entry = named.get(fold(name) || name) ?? { name, lines: [] };
    entry.lines.push(line);
    named.set(fold(name) || name, entry);
  }
  const known = await tx<
    { id: string; name: string }[]
  >`select id, name from class order by parent_id nulls first, name, id desc`;
  // The last one set stands: top of the tree before what hangs below.
  const ids = new Map([...known].reverse().map((row) => [fold(row.name) || row.name, row.id]));
  const missing = [...named].filter(([key]) => !ids.has(key));
  const rows = missing.map(([key, entry]) => ({
    key,
    id: newId(now),
    name: entry.name,
    check: checkOf(entry.lines),
  }));
  if (rows.length > 0) {
    await tx`insert into class ${tx(rows, 'id', 'name', 'check')}`;
    await noteChanges(
      tx,
      rows.map(({ id }) => ({ kind: 'class', ref: id })),
    );
  }
  for (const row of rows) ids.set(row.key, row.id);
  return { idOf: (name) => ids.get(fold(name) || name) ?? null, made: rows.length };
}
