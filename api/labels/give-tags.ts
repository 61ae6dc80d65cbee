// Gives a new tag to each thing and place that has none, so that their labels can be printed before anybody walks to them.
import { randomUUID } from 'node:crypto';
import type postgres from 'postgres';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { TagCode } from '#domain/tag-code.ts';
import type { CodeRefusal } from '../codes/code-refusal.ts';
import { drawTags } from '../codes/make-tags.ts';
import { decide, type Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';

export interface GiveTags {
  readonly thingIds: readonly ThingId[];
  readonly placeIds: readonly PlaceId[];
  /** From when on the tags mean this, UTC ms. */
  readonly now: number;
}
export type Given = { readonly given: readonly { readonly id: string; readonly code: string }[] };

interface Target {
  readonly id: string;
  readonly thingId: string | null;
  readonly placeId: string | null;
  /** A container or a vehicle is a place, too, and shows its thing's codes. */
  readonly isPlace: boolean;
  readonly tag: string | null;
}

/** Two desks that ask for the same things wait for one another here; what each has is read only after that. */
async function lockTargets(tx: Tx, { thingIds, placeIds }: GiveTags): Promise<void> {
  await tx`select from thing where id = any(${[...thingIds]}::uuid[]) order by id for no key update`;
  await tx`select from place where id = any(${[...placeIds]}::uuid[]) order by id for no key update`;
}

async function readTargets(tx: Tx, { thingIds, placeIds }: GiveTags): Promise<readonly Target[]> {
  const things = await tx<Target[]>`
    select t.id, t.id as "thingId", null as "placeId", exists (select from place p where p.thing_id = t.id) as "isPlace",
      (select c.code from code c where c.thing_id = t.id and c.kind = 'tag' and c.until is null
        order by c.since desc, c.code limit 1) as tag
    from thing t where t.id = any(${[...thingIds]}::uuid[]) order by t.id`;
  const places = await tx<Target[]>`
    select p.id, null as "thingId", p.id as "placeId", true as "isPlace",
      (select c.code from code c where c.place_id = p.id and c.kind = 'tag' and c.until is null
        order by c.since desc, c.code limit 1) as tag
    from place p where p.thing_id is null and p.id = any(${[...placeIds]}::uuid[]) order by p.id`;
  return [...things, ...places];
}

/** So many tags that nobody has had before. */
async function newTags(tx: Tx, number: number): Promise<readonly TagCode[]> {
  const fresh: TagCode[] = [];
  while (fresh.length < number) {
    const drawn = drawTags(number - fresh.length);
    const rows = await tx<{ code: string }[]>`
      select code from code where code = any(${[...drawn]}) union select code from blank_tag where code = any(${[...drawn]})`;
    const used = new Set([...rows.map((row) => row.code), ...fresh]);
    fresh.push(...drawn.filter((tag) => !used.has(tag)));
  }
  return fresh;
}

async function writeTags(
  tx: Tx,
  bare: readonly Target[],
  now: number,
): Promise<readonly { readonly id: string; readonly code: string }[]> {
  if (bare.length === 0) return [];
  const tags = await newTags(tx, bare.length);
  const rows = bare.map(({ thingId, placeId }, at) => ({
    id: randomUUID(),
    code: tags[at] ?? null,
    kind: 'tag',
    thing_id: thingId,
    place_id: placeId,
    since: now,
  }));
  await tx`insert into code ${tx(rows)}`;
  await announceChange(tx, 'thing', ...bare.flatMap(({ thingId }) => thingId ?? []));
  await announceChange(tx, 'place', ...bare.filter(({ isPlace }) => isPlace).map(({ id }) => id));
  return bare.flatMap(({ id }, at) => tags.slice(at, at + 1).map((code) => ({ id, code })));
}

/**
 * Every thing and place gets a tag, unless it has one: then that is its answer, so the same request again changes nothing.
 * Refused, and nothing given, when one of them is not known here.
 */
export async function giveTags(
  sql: postgres.Sql,
  give: GiveTags,
): Promise<Given | { readonly refusal: CodeRefusal }> {
  return decide<Given, CodeRefusal>(sql, async (tx) => {
    await lockTargets(tx, give);
    const targets = await readTargets(tx, give);
    const known = new Set(targets.map(({ id }) => id));
    const missing = [
      ...give.thingIds.map((id, at) => ({ id, pointer: `/thingIds/${at}` })),
      ...give.placeIds.map((id, at) => ({ id, pointer: `/placeIds/${at}` })),
    ].find(({ id }) => !known.has(id));
    if (missing !== undefined) {
      const detail = 'names nothing that is known here; read the list again';
      return { refusal: { kind: 'unknown-reference', fields: [{ pointer: missing.pointer, detail }] } };
    }
    const tagged = targets.flatMap(({ id, tag }) => (tag === null ? [] : [{ id, code: tag }]));
    const bare = targets.filter(({ tag }) => tag === null);
    return { given: [...tagged, ...(await writeTags(tx, bare, give.now))] };
  });
}
