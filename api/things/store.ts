// Reads things as phones and the desk see them: their facts, and what codes, values, marks and write-offs say of them.
import type postgres from 'postgres';
import type { ThingId } from '#domain/ids.ts';
import type { Money, Thing } from '#domain/thing.ts';
import { currencyDigits, valueRankOf } from './value-rank.ts';

type ThingRow = Omit<
  Thing,
  'codes' | 'homes' | 'replacement' | 'valueRank' | 'faulty' | 'holdsRushes' | 'writtenOffPieces'
>;
type Pieces = NonNullable<Thing['writtenOffPieces']>;
interface HomeRow {
  readonly thingId: ThingId;
  readonly homes: Thing['homes'];
}
interface CodeRow {
  readonly thingId: ThingId;
  readonly codes: string[];
}
interface ValueRow extends Money {
  readonly thingId: ThingId;
}
interface MarkRow {
  readonly thingId: ThingId;
  readonly mark: 'faulty' | 'holds-rushes';
  readonly note: string | null;
}

/** What a faulty thing says when whoever marked it gave no words. */
const FAULTY_WITHOUT_WORDS = 'faulty';

function readRows(tx: postgres.ISql, which: postgres.Fragment) {
  return tx<ThingRow[]>`
    select t.id, t.kind, t.name, t.class_id as "classId", t.maker, t.model, t.description, t.serial, t.whose,
      t.owner_place_id as "ownerPlaceId", to_char(t.whose_from, 'YYYY-MM-DD') as "whoseFrom",
      to_char(t.whose_until, 'YYYY-MM-DD') as "whoseUntil", t.fee_minor::float8 as "feeMinor", t.fee_per as "feePer",
      t.weight_grams as "weightGrams", t.width_mm as "widthMm", t.height_mm as "heightMm", t.depth_mm as "depthMm",
      to_char(t.purchased_on, 'YYYY-MM-DD') as "purchasedOn", t.purchase_minor::float8 as "purchaseMinor",
      t.purchase_currency as "purchaseCurrency", t.purchased_from as "purchasedFrom", t.country, t.container, t."check",
      t.built_on_id as "builtOnId", t.chemistry, t.watt_hours::float8 as "wattHours", t.volts::float8 as volts,
      t.ampere_hours::float8 as "ampereHours", t.lithium_grams::float8 as "lithiumGrams", t.cycles, t.unit, t.par,
      t.note, t.merged_into_id as "mergedIntoId", t.version,
      (t.kind = 'item' and exists (select from write_off w where w.thing_id = t.id)) as "writtenOff"
    from thing t where ${which} order by t.name, t.id`;
}

/** The latest living line of each mark (law 5's order), where it says "on". */
function readMarks(tx: postgres.ISql, which: postgres.Fragment) {
  return tx<MarkRow[]>`
    select thing_id as "thingId", mark, note from (
      select distinct on (m.thing_id, m.body->>'mark') m.thing_id, m.body->>'mark' as mark,
        m.body->>'note' as note, (m.body->>'on')::boolean as is_on
      from movement m join thing t on t.id = m.thing_id
      where m.kind = 'mark' and ${which}
        and not exists (select from movement v where v.voids = m.id)
      order by m.thing_id, m.body->>'mark', m.at desc, m.id desc) latest
    where is_on`;
}

/** Missing pieces that were written off, by the finding that they were missing by. */
function readPieces(tx: postgres.ISql, which: postgres.Fragment) {
  return tx<{ thingId: ThingId; pieces: Pieces }[]>`
    select thing_id as "thingId", json_agg(json_build_object('lineId', line_id, 'number', number) order by line_id) as pieces
    from (
      select w.thing_id, w.line_id, sum(w.number)::int as number from write_off w join thing t on t.id = w.thing_id
      where w.line_id is not null and ${which} group by w.thing_id, w.line_id) by_finding
    group by thing_id`;
}

/** Reads everything there is to know of the things, in a few statements however many they are. Sorted by name, id. */
export async function readThings(tx: postgres.ISql, ids: 'all' | readonly ThingId[]): Promise<Thing[]> {
  if (ids.length === 0) return [];
  const which = ids === 'all' ? tx`true` : tx`t.id = any(${[...ids]}::uuid[])`;
  const [rows, homes, codes, values, marks, pieces] = await Promise.all([
    readRows(tx, which),
    tx<HomeRow[]>`
      select h.thing_id as "thingId", json_agg(
        json_build_object('way', h.way, 'placeId', h.place_id, 'number', h.number) order by h.way, h.place_id) as homes
      from home h join thing t on t.id = h.thing_id where ${which} group by h.thing_id`,
    tx<CodeRow[]>`
      select c.thing_id as "thingId", array_agg(c.code order by c.since, c.code) as codes
      from code c join thing t on t.id = c.thing_id where c.until is null and ${which} group by c.thing_id`,
    tx<ValueRow[]>`
      select distinct on (v.thing_id) v.thing_id as "thingId", v.amount_minor::float8 as minor, v.currency
      from replacement_value v join thing t on t.id = v.thing_id where ${which}
      order by v.thing_id, v.on_date desc, v.id desc`,
    readMarks(tx, which),
    readPieces(tx, which),
  ]);
  return putTogether(rows, { homes, codes, values, marks, pieces });
}

interface SaidOfThings {
  readonly homes: readonly HomeRow[];
  readonly codes: readonly CodeRow[];
  readonly values: readonly ValueRow[];
  readonly marks: readonly MarkRow[];
  readonly pieces: readonly { readonly thingId: ThingId; readonly pieces: Pieces }[];
}

function putTogether(rows: readonly ThingRow[], said: SaidOfThings): Thing[] {
  const homesOf = new Map(said.homes.map((row) => [row.thingId, row.homes]));
  const codesOf = new Map(said.codes.map((row) => [row.thingId, row.codes]));
  const piecesOf = new Map(said.pieces.map((row) => [row.thingId, row.pieces]));
  const amountOf = new Map(
    said.values.map((row) => [row.thingId, { minor: row.minor, currency: row.currency }]),
  );
  const faultyOf = new Map(
    said.marks
      .filter((row) => row.mark === 'faulty')
      .map((row) => [row.thingId, row.note ?? FAULTY_WITHOUT_WORDS]),
  );
  const withRushes = new Set(
    said.marks.filter((row) => row.mark === 'holds-rushes').map((row) => row.thingId),
  );
  const digitsOf = new Map(
    [...new Set(said.values.map((row) => row.currency))].map((currency) => [
      currency,
      currencyDigits(currency),
    ]),
  );
  return rows.map((row) => {
    const replacement = amountOf.get(row.id) ?? null;
    const pieces = piecesOf.get(row.id);
    return {
      ...row,
      ...(pieces === undefined ? {} : { writtenOffPieces: pieces }),
      homes: homesOf.get(row.id) ?? [],
      codes: codesOf.get(row.id) ?? [],
      replacement,
      valueRank: replacement === null ? 0 : valueRankOf(replacement, digitsOf.get(replacement.currency) ?? 2),
      faulty: faultyOf.get(row.id) ?? null,
      holdsRushes: withRushes.has(row.id),
    };
  });
}
