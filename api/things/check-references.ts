// Whether everything that a thing's facts name is known, and whether a thing would end up inside or on itself.
import type { ThingId } from '#domain/ids.ts';
import type { FieldFault, RecordRefusal } from '#domain/record.ts';
import type { ThingFacts } from '#domain/thing.ts';
import type { Tx } from '../database/decide.ts';
import { lockTree } from '../database/lock-tree.ts';
import { findInsideOf } from '../places/inside.ts';

async function findUnknown(tx: Tx, facts: ThingFacts): Promise<FieldFault[]> {
  const places = facts.homes.map((home) => home.placeId);
  const [known] = await tx<{ class: boolean; owner: boolean; built: boolean; places: string[] }[]>`
    select exists (select from class where id = ${facts.classId}::uuid) as class,
      exists (select from place where id = ${facts.ownerPlaceId}::uuid and kind = 'party') as owner,
      exists (select from thing where id = ${facts.builtOnId}::uuid and kind = 'item') as built,
      array(select id from place where id = any(${places}::uuid[])) as places`;
  const faults: FieldFault[] = [];
  if (facts.classId !== null && !known?.class)
    faults.push({ pointer: '/classId', detail: 'names no class; choose one of GET /api/classes' });
  if (facts.ownerPlaceId !== null && !known?.owner)
    faults.push({
      pointer: '/ownerPlaceId',
      detail: 'names no party; enter whose it is under parties first',
    });
  if (facts.builtOnId !== null && !known?.built)
    faults.push({ pointer: '/builtOnId', detail: 'names no item that it could be built on' });
  facts.homes.forEach((home, index) => {
    if (!known?.places.includes(home.placeId))
      faults.push({ pointer: `/homes/${index}/placeId`, detail: 'names no place; enter the place first' });
  });
  return faults;
}

async function isBuiltOnItself(tx: Tx, id: ThingId, builtOnId: ThingId): Promise<boolean> {
  await lockTree(tx, 'built');
  const [found] = await tx<{ loop: boolean }[]>`
    with recursive below as (
      select id, built_on_id from thing where id = ${builtOnId}
      union select t.id, t.built_on_id from thing t join below b on t.id = b.built_on_id)
    select exists (select from below where id = ${id}) as loop`;
  return found?.loop === true;
}

/** The first refusal in this order: something named is unknown · built on itself · a home inside itself. Else null. */
export async function checkReferences(tx: Tx, id: ThingId, facts: ThingFacts): Promise<RecordRefusal | null> {
  if (facts.builtOnId === id) return { kind: 'inside-itself', pointer: '/builtOnId' };
  const own = facts.homes.findIndex((home) => String(home.placeId) === String(id));
  if (own >= 0) return { kind: 'inside-itself', pointer: `/homes/${own}/placeId` };
  const unknown = await findUnknown(tx, facts);
  if (unknown.length > 0) return { kind: 'unknown-reference', fields: unknown };
  if (facts.builtOnId !== null && (await isBuiltOnItself(tx, id, facts.builtOnId)))
    return { kind: 'inside-itself', pointer: '/builtOnId' };
  const inside = await findInsideOf(
    tx,
    id,
    facts.homes.map((home) => home.placeId),
  );
  const home = facts.homes.findIndex((each) => inside.has(each.placeId));
  return home < 0 ? null : { kind: 'inside-itself', pointer: `/homes/${home}/placeId` };
}
