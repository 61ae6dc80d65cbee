// Writing a thing down: a new one, an edit of the version that was read, and a draft that is kept while it is unfinished.
import { z } from 'zod';
import { type Thing, type ThingFacts, type ThingKind, thingFactsSchema, thingSchema } from '#domain/thing.ts';
import { type Asked, ask } from './ask.ts';
import type { Draft } from './thing-draft.ts';

/** The facts alone, without what others say of the thing. */
export const factsOfThing = (thing: Thing): ThingFacts => thingFactsSchema.strip().parse(thing);

/** Edits the version that was read; refused with "version-moved" when somebody else was faster. */
export function saveThing(
  thing: { readonly id: string; readonly kind: ThingKind; readonly version: number },
  facts: ThingFacts,
): Promise<Asked<Thing>> {
  const body = { ...facts, kind: thing.kind };
  return ask(`/api/things/${thing.id}`, thingSchema, { method: 'PUT', body, ifMatch: `"${thing.version}"` });
}

export interface NewThing {
  readonly kind: ThingKind;
  readonly facts: ThingFacts;
  readonly vehicle: boolean;
  readonly placeId: string | null;
  readonly number: number | null;
}

/** Makes a thing under an id that was chosen before, so that sending it twice makes one. */
export function makeThing(id: string, made: NewThing): Promise<Asked<Thing>> {
  const { kind, facts, vehicle, placeId, number } = made;
  const first = placeId === null ? {} : { placeId, ...(kind === 'item' ? {} : { number: number ?? 1 }) };
  const body = { ...facts, kind, ...(vehicle ? { vehicle } : {}), ...first };
  return ask(`/api/things/${id}`, thingSchema, { method: 'PUT', body });
}

export const readThing = (id: string): Promise<Asked<Thing>> => ask(`/api/things/${id}`, thingSchema);

const keptSchema = z.strictObject({
  version: z.int(),
  base: thingFactsSchema,
  draft: z.strictObject({
    values: z.record(z.string(), z.string()),
    homes: z.array(
      z.strictObject({ id: z.string(), way: z.string(), placeId: z.string(), number: z.string() }),
    ),
  }),
});
/** An unfinished edit: the facts it began from, their version, and what was typed. */
export interface KeptDraft {
  readonly version: number;
  readonly base: ThingFacts;
  readonly draft: Draft;
}

const keyOf = (id: string) => `tailcount-draft-${id}`;

export function readDraft(id: string): KeptDraft | null {
  try {
    return keptSchema.parse(JSON.parse(sessionStorage.getItem(keyOf(id)) ?? ''));
  } catch {
    // Nothing kept, or nothing that can be read any more.
    return null;
  }
}

export function keepDraft(id: string, kept: KeptDraft | null): void {
  try {
    if (kept === null) sessionStorage.removeItem(keyOf(id));
    else sessionStorage.setItem(keyOf(id), JSON.stringify(kept));
  } catch {
    // A private window keeps nothing: the draft lives as long as its page.
  }
}
