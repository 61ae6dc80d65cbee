// Edits many things in one transaction: each of the version that was seen is changed, every other is left out and named.
// The preview decides the same and writes nothing.
import type postgres from 'postgres';
import type { ThingId } from '#domain/ids.ts';
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import type { Thing } from '#domain/thing.ts';
import { decideEdit, type Edited, type EditLine, type LeftOut, type ThingSet } from '#domain/thing-edit.ts';
import { decide, type Tx } from '../database/decide.ts';
import { findCurrencyFault } from '../outfit/standards.ts';
import { outwardsFixed } from '../places/inside.ts';
import { announceChange } from '../record/announce.ts';
import { readThings } from './store.ts';
import { type EditedThing, writeEdits } from './write-edits.ts';

export interface EditGroup {
  readonly set: ThingSet;
  readonly things: readonly { readonly id: ThingId; readonly version: number }[];
}
export interface EditAnswer {
  readonly lines: readonly EditLine[];
}

const homesOf = ({ home, homes }: ThingSet) => [
  ...(home?.placeId ? [home.placeId] : []),
  ...(homes ?? []).map(({ placeId }) => placeId),
];

/** What a group names that this outfit does not have: it is wrong for all of its things, so nothing is done. */
async function findUnknown(tx: Tx, { set }: EditGroup, at: string): Promise<FieldFault[]> {
  const places = homesOf(set);
  const classId = set.classId ?? null;
  const ownerId = set.whose?.ownerPlaceId ?? null;
  const [known] = await tx<{ class: boolean; owner: boolean; places: number }[]>`
    select exists (select from class where id = ${classId}::uuid) as class,
      exists (select from place where id = ${ownerId}::uuid and kind = 'party') as owner,
      (select count(*)::int from place where id = any(${places}::uuid[])) as places`;
  const faults: FieldFault[] = [];
  const add = (pointer: string, detail: string) => faults.push({ pointer: `${at}/${pointer}`, detail });
  if (classId !== null && !known?.class) add('classId', 'names no class; choose one of GET /api/classes');
  if (ownerId !== null && !known?.owner) add('whose/ownerPlaceId', 'names no party; enter whose it is first');
  if (known?.places !== new Set(places).size) add('home', 'names no place; enter the place first');
  return faults;
}

/** In this order: one thing stands twice · an unknown currency · something named is unknown. Null: all groups may be. */
async function checkGroups(tx: Tx, groups: readonly EditGroup[]): Promise<RecordRefusal | null> {
  const ids = groups.flatMap(({ things }) => things.map(({ id }) => id));
  if (new Set(ids).size < ids.length)
    return {
      kind: 'contradiction',
      fields: [{ pointer: '/groups', detail: 'names a thing twice; name it once' }],
    };
  const currencies = groups.flatMap(({ set }, index) => {
    const to = set.value?.to;
    return to !== undefined && 'currency' in to
      ? findCurrencyFault(`/groups/${index}/set/value/to/currency`, to.currency)
      : [];
  });
  if (currencies.length > 0) return { kind: 'contradiction', fields: currencies };
  const unknown: FieldFault[] = [];
  for (const [index, group] of groups.entries())
    unknown.push(...(await findUnknown(tx, group, `/groups/${index}/set`)));
  return unknown.length > 0 ? { kind: 'unknown-reference', fields: unknown } : null;
}

/** The things that hold a home of this set: none of them can live there. */
async function readHolders(tx: Tx, set: ThingSet): Promise<ReadonlySet<string>> {
  const places = homesOf(set);
  if (places.length === 0) return new Set();
  const rows = await tx<{ id: string }[]>`${outwardsFixed(tx, places)}`;
  return new Set(rows.map(({ id }) => id));
}

function lineLeftOut(id: ThingId, thing: Thing | undefined, why: LeftOut, detail: string | null): EditLine {
  const { name = null, version = null } = thing ?? {};
  return { id, name, does: 'left-out', why, detail, changes: [], version, back: null };
}

interface Decided {
  readonly line: EditLine;
  readonly edited: Edited | null;
}

/**
 * One thing, in this order: it is not there · it was merged into another · decideEdit's own reasons · it is so already ·
 * somebody changed it meanwhile · it would live inside itself. What is so already is no conflict: a repeat after an
 * answer that was lost changes nothing twice.
 */
function decideOne(
  seen: { readonly id: ThingId; readonly version: number },
  thing: Thing | undefined,
  { set }: EditGroup,
  holders: ReadonlySet<string>,
): Decided {
  const leftOut = (why: LeftOut, detail: string | null = null): Decided => ({
    line: lineLeftOut(seen.id, thing, why, detail),
    edited: null,
  });
  if (thing === undefined) return leftOut('not-found');
  if (thing.mergedIntoId !== null) return leftOut('merged-away');
  const decision = decideEdit(thing, set);
  if ('leftOut' in decision) return leftOut(decision.leftOut, decision.detail);
  const { id, name, version } = thing;
  const plain = { id, name, why: null, detail: null };
  if ('stays' in decision)
    return { line: { ...plain, does: 'stays', changes: [], version, back: null }, edited: null };
  if (version !== seen.version) return leftOut('version-moved');
  if (holders.has(id)) return leftOut('inside-itself');
  const { changes, back } = decision.edited;
  // Nothing but a value that there was none of before: it can't be taken away again.
  const isBack = Object.keys(back).length > 0;
  const line: EditLine = {
    ...plain,
    does: 'changes',
    changes: [...changes],
    version: version + 1,
    back: isBack ? back : null,
  };
  return { line, edited: decision.edited };
}

/** Decides every line of every group, and writes what changes unless it is only a preview. `now`: UTC ms. */
export async function editThings(
  sql: postgres.Sql,
  groups: readonly EditGroup[],
  { preview, now }: { readonly preview: boolean; readonly now: number },
): Promise<EditAnswer | { readonly refusal: RecordRefusal }> {
  return decide<EditAnswer, RecordRefusal>(sql, async (tx) => {
    const refusal = await checkGroups(tx, groups);
    if (refusal !== null) return { refusal };
    const ids = groups.flatMap(({ things }) => things.map(({ id }) => id));
    // In the order of their ids, so that two editors of overlapping lists never wait for each other in a ring.
    if (!preview) await tx`select from thing where id = any(${ids}::uuid[]) order by id for no key update`;
    const byId = new Map((await readThings(tx, ids)).map((thing) => [thing.id, thing]));
    const lines: EditLine[] = [];
    for (const group of groups) {
      const holders = await readHolders(tx, group.set);
      const decided = group.things.map((seen) => decideOne(seen, byId.get(seen.id), group, holders));
      lines.push(...decided.map(({ line }) => line));
      const edits = decided.flatMap(({ line: { id }, edited }): EditedThing[] =>
        edited === null ? [] : [{ id, edited }],
      );
      if (preview || edits.length === 0) continue;
      await writeEdits(tx, group.set, edits, now);
      await announceChange(tx, 'thing', ...edits.map(({ id }) => id));
    }
    return { lines };
  });
}
