// Reads what was written off: a page of it is a plain read and Prisma's; whether one is there already is asked in the
// driver's own transaction.
import type postgres from 'postgres';
import { z } from 'zod';
import { plainIdSchema } from '#domain/ids.ts';
import { dateSchema } from '#domain/thing.ts';
import type { WriteOff } from '#domain/worth.ts';
import type { PrismaClient } from '../../prisma/generated/client.ts';
import { dateFrom, dateTextOf } from '../database/calendar-date.ts';
import { cutPage } from '../record/page.ts';

/** Where a page ended. */
export const writeOffCursorSchema = z.strictObject({ key: dateSchema, id: plainIdSchema });

export interface WriteOffsAsked {
  readonly thing?: string | undefined;
  readonly after?: z.infer<typeof writeOffCursorSchema> | undefined;
  readonly limit: number;
}

/** A page of write-offs, the latest first, then by id. */
export async function readWriteOffs(prisma: PrismaClient, { thing, after, limit }: WriteOffsAsked) {
  const onDate = dateFrom(after?.key ?? '1970-01-01');
  const rows = await prisma.writeOff.findMany({
    where: {
      ...(thing === undefined ? {} : { thingId: thing }),
      ...(after === undefined ? {} : { OR: [{ onDate: { lt: onDate } }, { onDate, id: { lt: after.id } }] }),
    },
    orderBy: [{ onDate: 'desc' }, { id: 'desc' }],
    take: limit + 1,
  });
  const dated = rows.map((row) => ({ ...row, onDate: dateTextOf(row.onDate) }));
  return cutPage(dated, limit, (row) => row.onDate);
}

/** The write-off; null where there is none of this id. */
export async function readWriteOff(tx: postgres.ISql, id: string): Promise<WriteOff | null> {
  const [row] = await tx<WriteOff[]>`
    select id, thing_id as "thingId", number, to_char(on_date, 'YYYY-MM-DD') as "onDate", reason, note,
      person_id as "personId", line_id as "lineId"
    from write_off where id = ${id}`;
  return row ?? null;
}
