// Reads packages with their lines in packing order: a page of them is a plain read and Prisma's; the one that an
// editor has just written is read in the driver's own transaction.
import type postgres from 'postgres';
import type { Package } from '#domain/package.ts';
import type { PrismaClient } from '../../prisma/generated/client.ts';
import { afterName, cutPage, type Page } from '../record/page.ts';

const line = { thingId: true, classId: true, number: true, spares: true };

/** A page of packages, sorted by name, id. */
export async function readPackagePage(prisma: PrismaClient, page: Page) {
  const rows = await prisma.package.findMany({
    include: { lines: { select: line, orderBy: [{ sort: 'asc' }, { id: 'asc' }] } },
    where: afterName(page),
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
    take: page.limit + 1,
  });
  return cutPage(rows, page.limit, (one) => one.name);
}

/** The package; null where there is none of this id. */
export async function readPackage(tx: postgres.ISql, id: string): Promise<Package | null> {
  const [row] = await tx<Package[]>`
    select p.id, p.name, p.note, p.version, coalesce((
      select json_agg(json_build_object('thingId', l.thing_id, 'classId', l.class_id, 'number', l.number,
        'spares', l.spares) order by l.sort, l.id)
      from package_line l where l.package_id = p.id), '[]') as lines
    from package p where p.id = ${id}`;
  return row ?? null;
}
