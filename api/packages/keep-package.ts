// Makes and edits packages: named want-lists.
import { randomUUID } from 'node:crypto';
import type { Package, PackageFacts } from '#domain/package.ts';
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import type { RecordKind } from '../record/keep.ts';
import { readPackage } from './store.ts';

function findContradictions(facts: PackageFacts): FieldFault[] {
  return facts.lines.flatMap((line, index) =>
    (line.thingId === null) === (line.classId === null)
      ? [
          {
            pointer: `/lines/${index}`,
            detail: 'wants one certain thing or so many of a class; give one of the two',
          },
        ]
      : [],
  );
}

async function check(tx: Tx, _id: string, facts: PackageFacts): Promise<RecordRefusal | null> {
  const contradictions = findContradictions(facts);
  if (contradictions.length > 0) return { kind: 'contradiction', fields: contradictions };
  const things = facts.lines.flatMap((line) => line.thingId ?? []);
  const classes = facts.lines.flatMap((line) => line.classId ?? []);
  const [known] = await tx<{ things: string[]; classes: string[] }[]>`
    select array(select id from thing where id = any(${things}::uuid[])) as things,
      array(select id from class where id = any(${classes}::uuid[])) as classes`;
  const knownIds = new Set([...(known?.things ?? []), ...(known?.classes ?? [])]);
  const fields = facts.lines.flatMap((line, index): FieldFault[] => {
    if (line.thingId !== null && !knownIds.has(line.thingId))
      return [{ pointer: `/lines/${index}/thingId`, detail: 'names no thing; enter it first' }];
    if (line.classId !== null && !knownIds.has(line.classId))
      return [
        { pointer: `/lines/${index}/classId`, detail: 'names no class; choose one of GET /api/classes' },
      ];
    return [];
  });
  return fields.length > 0 ? { kind: 'unknown-reference', fields } : null;
}

async function writeLines(tx: Tx, id: string, lines: PackageFacts['lines']): Promise<void> {
  await tx`delete from package_line where package_id = ${id}`;
  if (lines.length === 0) return;
  const rows = lines.map((line, sort) => ({
    id: randomUUID(),
    package_id: id,
    thing_id: line.thingId,
    class_id: line.classId,
    number: line.number,
    spares: line.spares,
    sort,
  }));
  await tx`insert into package_line ${tx(rows)}`;
}

export const packageKind: RecordKind<PackageFacts, Package> = {
  table: 'package',
  readOne: readPackage,
  factsOf: ({ id: _id, version: _version, ...facts }) => facts,
  check,
  insert: async (tx, id, { name, note, lines }) => {
    const written = await tx`insert into package ${tx({ id, name, note })} on conflict (id) do nothing`;
    if (written.count === 0) return 'taken';
    await writeLines(tx, id, lines);
    return null;
  },
  update: async (tx, id, { name, note, lines }) => {
    await tx`update package set ${tx({ name, note })}, version = version + 1 where id = ${id}`;
    await writeLines(tx, id, lines);
    return null;
  },
};
