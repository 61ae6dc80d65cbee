// Writes down what a thing costs new: a dated fact with its source, added and never changed. Reading them is Prisma's;
// adding one is the driver's, because the feed hears of it in the same transaction.
import type postgres from 'postgres';
import type { ThingId } from '#domain/ids.ts';
import type { ReplacementValue, ReplacementValueFacts } from '#domain/worth.ts';
import type { PrismaClient } from '../../prisma/generated/client.ts';
import { dateTextOf } from '../database/calendar-date.ts';
import { decide, type Tx } from '../database/decide.ts';
import { findCurrencyFault } from '../outfit/standards.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal, Kept } from '../record/keep.ts';

/** All values ever given for the thing, the latest first. */
export async function readValues(prisma: PrismaClient, thingId: ThingId) {
  const rows = await prisma.replacementValue.findMany({
    where: { thingId },
    orderBy: [{ onDate: 'desc' }, { id: 'desc' }],
  });
  return rows.map((row) => ({
    ...row,
    amountMinor: Number(row.amountMinor),
    onDate: dateTextOf(row.onDate),
  }));
}

async function insertValue(tx: Tx, value: ReplacementValue): Promise<boolean> {
  const row = {
    id: value.id,
    thing_id: value.thingId,
    amount_minor: value.amountMinor,
    currency: value.currency,
    on_date: value.onDate,
    source: value.source,
    person_id: value.personId,
  };
  return (await tx`insert into replacement_value ${tx(row)} on conflict (id) do nothing`).count > 0;
}

async function isRepeat(tx: Tx, { id, thingId, amountMinor, currency, onDate, source }: ReplacementValue) {
  const same = await tx`
    select from replacement_value
    where id = ${id} and thing_id = ${thingId} and amount_minor = ${amountMinor} and currency = ${currency}
      and on_date = ${onDate}::date and source = ${source} and person_id is null`;
  return same.count > 0;
}

/** In this order: no such thing · it was merged into another entry · no such currency · the id is another value's. A repeat gets what is kept. */
export async function addValue(
  sql: postgres.Sql,
  value: { readonly id: string; readonly thingId: ThingId; readonly facts: ReplacementValueFacts },
): Promise<Kept<ReplacementValue>> {
  const { id, thingId, facts } = value;
  return decide<{ made: boolean; record: ReplacementValue }, KeepRefusal>(sql, async (tx) => {
    const [known] = await tx<{ mergedIntoId: ThingId | null }[]>`
      select merged_into_id as "mergedIntoId" from thing where id = ${thingId} for key share`;
    if (known === undefined) return { refusal: { kind: 'not-found' } };
    if (known.mergedIntoId !== null) return { refusal: { kind: 'merged-already', id: thingId } };
    const fields = findCurrencyFault('/currency', facts.currency);
    if (fields.length > 0) return { refusal: { kind: 'contradiction', fields } };
    const record: ReplacementValue = { ...facts, id, thingId, personId: null };
    if (await insertValue(tx, record)) {
      await announceChange(tx, 'thing', thingId);
      return { made: true, record };
    }
    return (await isRepeat(tx, record)) ? { made: false, record } : { refusal: { kind: 'id-reused', id } };
  });
}
