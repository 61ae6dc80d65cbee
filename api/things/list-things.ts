// Lists things by what is asked of them, page by page.

import type postgres from 'postgres';
import { searchWords } from '#domain/fold.ts';
import { type PlaceId, thingIdSchema } from '#domain/ids.ts';
import type { Thing, ThingKind, Whose } from '#domain/thing.ts';
import { insideNow } from '../places/inside.ts';
import { inOrderOf, type Page, type PageCursor, readPageIds } from '../record/page.ts';
import { readThings } from './store.ts';

export interface ThingFilter {
  readonly kind: ThingKind | null;
  /** A class; things of the classes below it are its things, too. */
  readonly classId: string | null;
  readonly whose: Whose | null;
  /** Whatever is in this place now, also in what stands or lies inside it. */
  readonly placeId: PlaceId | null;
  readonly text: string | null;
  readonly faulty: boolean | null;
  readonly writtenOff: boolean | null;
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
    with inside as materialized (${insideNow(tx, placeId)})
    select thing_id from position where place_id in (select id from inside)
    union select thing_id from stock_level where place_id in (select id from inside) and number <> 0)`;
}

/** Each word of the text has to stand somewhere in what the thing is known by. */
function holdsText(tx: postgres.ISql, text: string) {
  return searchWords(text).reduce((all, word) => tx`${all} and t.folded like ${`%${word}%`}`, tx`true`);
}

function whereOf(tx: postgres.ISql, filter: ThingFilter): postgres.Fragment {
  const parts = [tx`true`];
  if (filter.kind !== null) parts.push(tx`t.kind = ${filter.kind}`);
  if (filter.classId !== null) parts.push(ofClass(tx, filter.classId));
  if (filter.whose !== null) parts.push(tx`t.whose = ${filter.whose}`);
  if (filter.placeId !== null) parts.push(isInPlace(tx, filter.placeId));
  if (filter.text !== null) parts.push(holdsText(tx, filter.text));
  if (filter.faulty !== null) parts.push(tx`${isFaulty(tx)} = ${filter.faulty}`);
  if (filter.writtenOff !== null)
    parts.push(
      tx`(t.kind = 'item' and exists (select from write_off w where w.thing_id = t.id)) = ${filter.writtenOff}`,
    );
  return parts.reduce((all, part) => tx`${all} and ${part}`);
}

/** A page of the things that pass every filter given (null asks nothing), sorted by name, id. */
export async function listThings(
  tx: postgres.ISql,
  filter: ThingFilter,
  page: Page,
): Promise<{ readonly things: Thing[]; readonly next: PageCursor | null }> {
  const listed = { from: tx`thing t`, where: whereOf(tx, filter), key: tx`t.name`, id: tx`t.id` };
  const { ids, next } = await readPageIds(tx, listed, page);
  const things = await readThings(
    tx,
    ids.map((id) => thingIdSchema.parse(id)),
  );
  return { things: inOrderOf(ids, things), next };
}
