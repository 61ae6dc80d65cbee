// From good lines to the facts of new things.
import { keyOfNth } from '#domain/csv/line-key.ts';
import type { PlannedLine } from '#domain/csv/plan-lines.ts';
import { asPlaceId, type ThingId, thingIdSchema } from '#domain/ids.ts';
import { type Money, type ThingFacts, type ThingKind, thingFactsSchema } from '#domain/thing.ts';
import type { ListedThing } from '../things/write-facts.ts';
import type { Found } from './find-classes.ts';
import type { Homes } from './find-places.ts';
import { newId } from './new-id.ts';

export type NewThing = ListedThing & {
  readonly line: PlannedLine;
  /** How many: 1 for an item. */
  readonly number: number;
  readonly replacement: Money | null;
};

export type FoundForThings = {
  readonly cases: ReadonlyMap<number, ThingId>;
  readonly classes: Found;
  readonly owners: Homes;
  readonly homes: Homes;
  readonly now: number;
};

const KIND_OF: Readonly<Record<string, ThingKind>> = {
  'makes-counted-gear': 'counted',
  'makes-consumable': 'consumable',
};

function homesOf(
  line: PlannedLine,
  id: ThingId,
  kind: ThingKind,
  found: FoundForThings,
): ThingFacts['homes'] {
  const placeId = found.homes.idOf(line.facts.home);
  // A case that names itself as its home lives nowhere yet.
  if (placeId === null || placeId === asPlaceId(id)) return [];
  return [{ way: 'driving', placeId, number: kind === 'item' ? 1 : line.number }];
}

function factsOf(line: PlannedLine, id: ThingId, kind: ThingKind, found: FoundForThings): ThingFacts {
  const { facts } = line;
  // Parsed, so that what the database must hold is held before anything is written.
  return thingFactsSchema.parse({
    name: facts.name,
    classId: facts.className === null ? null : found.classes.idOf(facts.className),
    maker: facts.maker,
    model: facts.model,
    description: facts.description,
    serial: facts.serial,
    whose: facts.whose,
    ownerPlaceId: facts.ownerName === null ? null : found.owners.idOf([facts.ownerName]),
    whoseFrom: null,
    whoseUntil: null,
    feeMinor: null,
    feePer: null,
    weightGrams: facts.weightGrams,
    widthMm: null,
    heightMm: null,
    depthMm: null,
    purchasedOn: facts.purchasedOn,
    purchaseMinor: facts.purchase?.minor ?? null,
    purchaseCurrency: facts.purchase?.currency ?? null,
    purchasedFrom: facts.purchasedFrom,
    country: facts.country,
    container: found.cases.has(line.row),
    check: kind === 'counted' ? 'by-number' : null,
    builtOnId: null,
    chemistry: null,
    wattHours: facts.wattHours,
    volts: facts.volts,
    ampereHours: facts.ampereHours,
    lithiumGrams: null,
    cycles: null,
    unit: facts.unit,
    par: facts.par,
    note: facts.note,
    homes: homesOf(line, id, kind, found),
  });
}

/** The things that the lines make: one each, or as many items as the number says. */
export function makeThings(lines: readonly PlannedLine[], found: FoundForThings): readonly NewThing[] {
  return lines.flatMap((line) => {
    const kind = KIND_OF[line.does] ?? 'item';
    const items = line.does === 'makes-items' ? line.number : 1;
    return Array.from({ length: items }, (_, at): NewThing => {
      const id = found.cases.get(line.row) ?? thingIdSchema.parse(newId(found.now));
      return {
        id,
        kind,
        facts: factsOf(line, id, kind, found),
        importKey: keyOfNth(line.key, at + 1),
        line,
        number: kind === 'item' ? 1 : line.number,
        replacement: line.facts.replacement,
      };
    });
  });
}
