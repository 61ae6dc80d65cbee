// What hangs on an entry goes over to the one that stays: pictures, replacement values, numbers written off, lines of
// packages, and what is built on it. Facts and homes do not: the person chose those before.
import type { ThingId } from '#domain/ids.ts';
import type { Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';

/** The ids of the rows that went over, under the names of the columns that keep them. */
export interface HandedRecords {
  readonly pictures: readonly string[];
  readonly values: readonly string[];
  readonly write_offs: readonly string[];
  readonly package_lines: readonly string[];
  readonly built: readonly string[];
}

const idsOf = (rows: readonly { readonly id: string }[]): readonly string[] => rows.map((row) => row.id);

/** Whoever edits such a package or thing has to look at it again. */
async function countUp(tx: Tx, packageLines: readonly string[], built: readonly string[]): Promise<void> {
  await tx`
    update package set version = version + 1
    where id in (select package_id from package_line where id = any(${[...packageLines]}::uuid[]))`;
  await announceChange(tx, 'thing', ...built);
}

export async function handOverRecords(tx: Tx, from: ThingId, into: ThingId): Promise<HandedRecords> {
  const move = (table: string) =>
    tx<{ id: string }[]>`update ${tx(table)} set thing_id = ${into} where thing_id = ${from} returning id`;
  const pictures = idsOf(await move('picture'));
  const values = idsOf(await move('replacement_value'));
  const writeOffs = idsOf(await move('write_off'));
  const packageLines = idsOf(await move('package_line'));
  const built = idsOf(
    await tx<{ id: string }[]>`
      update thing set built_on_id = ${into}, version = version + 1 where built_on_id = ${from} returning id`,
  );
  await countUp(tx, packageLines, built);
  return { pictures, values, write_offs: writeOffs, package_lines: packageLines, built };
}

/** Gives those back that are still where they went. */
export async function handBackRecords(
  tx: Tx,
  records: HandedRecords,
  { from, to }: { readonly from: ThingId; readonly to: ThingId },
): Promise<void> {
  const move = (table: string, ids: readonly string[]) =>
    tx`update ${tx(table)} set thing_id = ${to} where thing_id = ${from} and id = any(${[...ids]}::uuid[])`;
  await move('picture', records.pictures);
  await move('replacement_value', records.values);
  await move('write_off', records.write_offs);
  await move('package_line', records.package_lines);
  const built = await tx<{ id: string }[]>`
    update thing set built_on_id = ${to}, version = version + 1
    where built_on_id = ${from} and id = any(${[...records.built]}::uuid[]) returning id`;
  await countUp(tx, records.package_lines, idsOf(built));
}
