// Which things are asked for, as the list's filters say it.

import type postgres from 'postgres';
import { searchWords } from '#domain/fold.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { ThingKind, Whose } from '#domain/thing.ts';
import { insideNow } from '../places/inside.ts';
import type { Listed } from '../record/page.ts';

export interface ThingFilter {
  readonly kind?: ThingKind | undefined;
  /** A class; things of the classes below it are its things, too. */
  readonly class?: string | undefined;
  readonly whose?: Whose | undefined;
  /** Whatever is in this place now, also in what stands or lies inside it. */
  readonly place?: PlaceId | undefined;
  readonly text?: string | undefined;
  readonly faulty?: boolean | undefined;
  readonly writtenOff?: boolean | undefined;
  /** The entries that were merged into this thing; else an entry that was merged away is on no list. */
  readonly mergedInto?: ThingId | undefined;
  readonly builtOn?: ThingId | undefined;
}

function ofClass(tx: postgres.ISql, classId: string) {
  return tx`t.class_id in (
    with recursive below as (
      select id from class where id = ${classId}
      union select c.id from class c join below b on c.parent_id = b.id)
    select id from below)`;
}

function isFaulty(tx: postgres.ISql) {
  return tx`coalesce((
    select (m.body->>'on')::boolean from movement m
    where m.thing_id = t.id and m.kind = 'mark' and m.body->>'mark' = 'faulty'
      and not exists (select from movement v where v.voids = m.id)
    order by m.at desc, m.id desc limit 1), false)`;
}

function isInPlace(tx: postgres.ISql, placeId: PlaceId) {
  return tx`t.id in (
    with inside as materialized (${insideNow(tx, [placeId])})
    select thing_id from position where place_id in (select id from inside)
    union select thing_id from stock_level where place_id in (select id from inside) and number <> 0)`;
}

/** Each word of the text has to stand somewhere in what the thing is known by. */
function holdsText(tx: postgres.ISql, text: string) {
  return searchWords(text).reduce((all, word) => tx`${all} and t.folded like ${`%${word}%`}`, tx`true`);
}

function isWrittenOff(tx: postgres.ISql) {
  return tx`(t.kind = 'item' and exists (select from write_off w where w.thing_id = t.id))`;
}

/** The things that pass every filter given (one that is absent asks nothing), sorted by name, id. */
export function whereThings(tx: postgres.ISql, filter: ThingFilter): Listed {
  const { mergedInto } = filter;
  const parts = [
    mergedInto === undefined ? tx`t.merged_into_id is null` : tx`t.merged_into_id = ${mergedInto}`,
  ];
  if (filter.builtOn !== undefined) parts.push(tx`t.built_on_id = ${filter.builtOn}`);
  if (filter.kind !== undefined) parts.push(tx`t.kind = ${filter.kind}`);
  if (filter.class !== undefined) parts.push(ofClass(tx, filter.class));
  if (filter.whose !== undefined) parts.push(tx`t.whose = ${filter.whose}`);
  if (filter.place !== undefined) parts.push(isInPlace(tx, filter.place));
  if (filter.text !== undefined) parts.push(holdsText(tx, filter.text));
  if (filter.faulty !== undefined) parts.push(tx`${isFaulty(tx)} = ${filter.faulty}`);
  if (filter.writtenOff !== undefined) parts.push(tx`${isWrittenOff(tx)} = ${filter.writtenOff}`);
  const where = parts.reduce((all, part) => tx`${all} and ${part}`);
  return { from: tx`thing t`, where, key: tx`t.name`, id: tx`t.id` };
}
