// Writes down what a thing costs new: a dated fact with its source, added and never changed.
import { isDeepStrictEqual } from 'node:util';
import type postgres from 'postgres';
import type { ThingId } from '#domain/ids.ts';
import type { ReplacementValue, ReplacementValueFacts } from '#domain/worth.ts';
import { decide, type Tx } from '../database/decide.ts';
import { findCurrencyFault } from '../outfit/standards.ts';
import { announceChange } from '../record/announce.ts';
import type { KeepRefusal, Kept } from '../record/keep.ts';

/** All values ever given for the thing, the latest first. */
export async function readValues(tx: postgres.ISql, thingId: ThingId): Promise<ReplacementValue[]> {
  const rows = await tx<ReplacementValue[]>`
    select id, thing_id as "thingId", amount_minor::float8 as "amountMinor", currency,
      to_char(on_date, 'YYYY-MM-DD') as "onDate", source, person_id as "personId"
    from replacement_value where thing_id = ${thingId} order by on_date desc, id desc`;
  return [...rows];
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

/** In this order: no such thing · no such currency · the id is another value's. A repeat gets what is kept. */
export async function addValue(
  sql: postgres.Sql,
  value: { readonly id: string; readonly thingId: ThingId; readonly facts: ReplacementValueFacts },
): Promise<Kept<ReplacementValue>> {
  const { id, thingId, facts } = value;
  return decide<{ made: boolean; record: ReplacementValue }, KeepRefusal>(sql, async (tx) => {
    const known = await tx`select from thing where id = ${thingId} for key share`;
    if (known.count === 0) return { refusal: { kind: 'not-found' } };
    const fields = findCurrencyFault('/currency', facts.currency);
    if (fields.length > 0) return { refusal: { kind: 'contradiction', fields } };
    const record: ReplacementValue = { ...facts, id, thingId, personId: null };
    if (await insertValue(tx, record)) {
      await announceChange(tx, 'thing', thingId);
      return { made: true, record };
    }
    const same = (await readValues(tx, thingId)).find((each) => isDeepStrictEqual({ ...each }, record));
    return same === undefined ? { refusal: { kind: 'id-reused', id } } : { made: false, record: same };
  });
}
