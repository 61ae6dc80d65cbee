// Two entries that turn out to be one thing: whether they may become one, and which lines of the ledger are said again of
// the one that stays. A line is never changed (law 2): each is taken back and said again, with its own time.
import { z } from 'zod';
import type { Level } from './book.ts';
import type { FactOf } from './count-answers.ts';
import {
  type ClockRunId,
  type DeviceId,
  type MovementId,
  plainIdSchema,
  type ThingId,
  thingIdSchema,
} from './ids.ts';
import { assert } from './invariant.ts';
import { livingLines } from './ledger.ts';
import { type Movement, type MovementOf, movementSchema, NUMBER_MAX, type Recorded } from './movement.ts';
import type { FieldFault, RecordRefusal } from './record.ts';
import type { Thing, ThingKind } from './thing.ts';

const NOTE_MAX = 500;

/** What is asked for: the thing that stays. An id of one's own makes a repeat harmless. */
export const mergeAskedSchema = z.strictObject({ into: thingIdSchema, id: plainIdSchema.optional() });

export const mergeSchema = z.strictObject({
  id: plainIdSchema,
  /** The entry that is no longer one. */
  thingId: thingIdSchema,
  /** The one that stays. */
  intoId: thingIdSchema,
  at: z.int(),
});
export type Merge = z.infer<typeof mergeSchema>;

type Judged = Pick<
  Thing,
  'id' | 'kind' | 'whose' | 'ownerPlaceId' | 'mergedIntoId' | 'writtenOff' | 'builtOnId'
> & {
  /** Another entry was merged into it. */
  readonly holdsMerged: boolean;
};

function unlikeFields(gone: Judged, kept: Judged): FieldFault[] {
  const fields: FieldFault[] = [];
  if (gone.kind !== kept.kind)
    fields.push({ pointer: '/kind', detail: `one is ${nameOf(gone.kind)}, the other ${nameOf(kept.kind)}` });
  if (gone.whose !== kept.whose || gone.ownerPlaceId !== kept.ownerPlaceId)
    fields.push({
      pointer: '/whose',
      detail: 'they belong to different owners; correct whose one of them is',
    });
  if (gone.builtOnId === kept.id || kept.builtOnId === gone.id)
    fields.push({ pointer: '/builtOnId', detail: 'one is built on the other, so they are two' });
  return fields;
}

const NAMES: Readonly<Record<ThingKind, string>> = {
  item: 'an item',
  counted: 'counted gear',
  consumable: 'a consumable',
};
const nameOf = (kind: ThingKind): string => NAMES[kind];

/**
 * Why `gone` can't be merged into `kept`, or null. In this order: they are the same entry · one of them was merged away
 * already · others were merged into the one that would go · one is written off · they differ in kind or owner, or one is
 * built on the other.
 */
export function whyNotMerged(gone: Judged, kept: Judged): RecordRefusal | null {
  if (gone.id === kept.id) return { kind: 'merge-into-itself', id: gone.id };
  const away = [gone, kept].find((thing) => thing.mergedIntoId !== null);
  if (away !== undefined) return { kind: 'merged-already', id: away.id };
  if (gone.holdsMerged) return { kind: 'others-merged-into-it', id: gone.id };
  const written = [gone, kept].find((thing) => thing.writtenOff);
  if (written !== undefined) return { kind: 'already-written-off', id: written.id };
  const fields = unlikeFields(gone, kept);
  return fields.length > 0 ? { kind: 'not-alike', fields } : null;
}

/** The kinds of line that are true of the thing itself, whatever it was called when they were written. */
type OfTheThing = MovementOf<'move' | 'mark' | 'seal' | 'unseal'>;

/**
 * Whether a line that names an entry merged away is meant for the one that stays, when it arrives late. A finding is
 * not: "not found" is what people say of the second entry of a thing that they have just scanned. A hand count is not
 * either: it is a number of what lay under that name, and would replace the number of the other.
 */
export function meansTheKept(line: Pick<Movement, 'kind'>): boolean {
  return line.kind === 'quantity' || isOfTheThing(line);
}

function isOfTheThing(line: Pick<Movement, 'kind'>): line is OfTheThing {
  return line.kind === 'move' || line.kind === 'mark' || line.kind === 'seal' || line.kind === 'unseal';
}

/** What a line that says the same of another thing is stamped with. */
export interface Stamp {
  readonly id: MovementId;
  readonly deviceId: DeviceId;
  readonly deviceNo: number;
  readonly clockRun: ClockRunId;
}

/**
 * The living lines of one thing, in the order of the ledger, and which of them are said again of the one that stays.
 * Findings, hand counts and quantities are only taken back: see `meansTheKept` for the first two; numbers are added up as
 * they stand (`numbersToAdd`).
 */
export function linesToHandOver(lines: readonly Recorded[]): readonly {
  readonly line: Recorded;
  readonly isSaidAgain: boolean;
}[] {
  return livingLines(lines).map((line) => ({ line, isSaidAgain: isOfTheThing(line) }));
}

/** The same line said of that thing, by another installation, at the time of the first. A void and what names no thing throw. */
export function sayOf(line: Recorded, thingId: ThingId, stamp: Stamp): Movement {
  assert('thingId' in line && line.kind !== 'void', 'only a line about a thing is said again of another');
  const { at, timeUncertain: _uncertain, ...written } = line;
  return movementSchema.parse({ ...written, ...stamp, thingId, deviceAt: at });
}

/** A number in parts that a line of the ledger can hold. */
function partsOf(number: number): readonly number[] {
  const whole = Math.floor(number / NUMBER_MAX);
  const rest = number % NUMBER_MAX;
  return [...new Array<number>(whole).fill(NUMBER_MAX), ...(rest > 0 ? [rest] : [])];
}

/**
 * The quantities that give the thing that stays the numbers of the one that goes: what is there comes in, what is missing
 * (a number below 0) goes out. Two entries of counted gear are taken for two heaps; where they were the same heap, the next
 * hand count says so.
 */
export function numbersToAdd(
  levels: readonly Level[],
  into: ThingId,
  was: string,
): readonly FactOf<'quantity'>[] {
  const evidence = {
    kind: 'quantity',
    stopId: null,
    round: null,
    check: null,
    why: 'tidy',
    spot: null,
  } as const;
  const note = `from “${was}”, which is the same`.slice(0, NOTE_MAX);
  return levels.flatMap(({ placeId, number }) =>
    partsOf(Math.abs(number)).map((part) => ({
      ...evidence,
      note,
      thingId: into,
      number: part,
      fromId: number < 0 ? placeId : null,
      toId: number > 0 ? placeId : null,
    })),
  );
}
