// What somebody should look at, as the service answers it, and what the desk does about it.
import { z } from 'zod';
import type { Fact } from '#domain/count-answers.ts';
import {
  type CodeMatter,
  clockMatterSchema,
  codeMatterSchema,
  type LoopMatter,
  leftoverSchema,
  loopMatterSchema,
  type Matter,
  matterSumsSchema,
  waitingGroupSchema,
} from '#domain/matter.ts';
import type { PlaceKind } from '#domain/place.ts';
import { PLAIN_FACTS, type ThingKind } from '#domain/thing.ts';
import { type Asked, ask, type Refused } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAnswer, useAsked } from './use-answer.ts';

const mattersSchema = z.strictObject({
  sums: matterSumsSchema,
  waiting: z.array(waitingGroupSchema),
  codes: z.array(codeMatterSchema),
  loops: z.array(loopMatterSchema),
  clocks: z.array(clockMatterSchema),
});
export type Matters = z.infer<typeof mattersSchema>;
const leftoversSchema = pageSchemaOf(leftoverSchema);
const askLeftovers = (path: string, signal: AbortSignal) => askAll(path, leftoversSchema, signal);

export const useMatters = (): Told<Matters> => useAnswer('/api/matters', mattersSchema);
export const useLeftovers = () => useAsked('/api/leftovers', askLeftovers);

const anything = z.unknown();
const refusedOf = (answer: Asked<unknown>): Refused | null => (answer.ok ? null : answer);

export async function sayLookedAt(matter: Matter, ref: string, lookedAt: boolean): Promise<Refused | null> {
  const body = { matter, ref, lookedAt };
  return refusedOf(await ask('/api/matters/looked-at', anything, { method: 'PUT', body }));
}

export async function acceptDevice(deviceId: string): Promise<Refused | null> {
  return refusedOf(await ask(`/api/matters/review/${deviceId}/accept`, anything, { method: 'POST' }));
}

const THING_PATHS: Readonly<Record<ThingKind, string>> = {
  item: '/api/items',
  counted: '/api/counted-gear',
  consumable: '/api/consumables',
};

/** Makes the thing that lines wait for, under its id; the service lets them in with it. */
export async function makeAwaitedThing(id: string, name: string, kind: ThingKind): Promise<Refused | null> {
  const body = { ...PLAIN_FACTS, name };
  return refusedOf(await ask(`${THING_PATHS[kind]}/${id}`, anything, { method: 'PUT', body }));
}

export async function makeAwaitedPlace(id: string, name: string, kind: PlaceKind): Promise<Refused | null> {
  const body = { kind, name, parentId: null, sort: 0, zone: null, address: null, note: null };
  return refusedOf(await ask(`/api/places/${id}`, anything, { method: 'PUT', body }));
}

/** Makes the stop that lines wait for, at a new place of the same name. */
export async function makeAwaitedStop(
  id: string,
  { name, zone, startsAt }: { readonly name: string; readonly zone: string; readonly startsAt: number },
): Promise<Refused | null> {
  const place = { id: crypto.randomUUID(), name, isNew: true };
  const body = { id, jobId: null, name, kind: 'location', zone, startsAt, unnamed: false, place };
  return refusedOf(await ask(`/api/stops/${id}`, anything, { method: 'PUT', body }));
}

/** Puts the code onto a thing from its first scan on, so that all of its lines count for that thing. */
export async function tieCode({ code, firstAt }: CodeMatter, thingId: string): Promise<Refused | null> {
  const body = { thingId, since: firstAt };
  return refusedOf(await ask(`/api/codes/${encodeURIComponent(code)}`, anything, { method: 'PUT', body }));
}

/** Puts the container where it counts as being, by a new line: then its latest line closes no loop any more. */
export function endLoop({ thingId, countsAtId }: LoopMatter): readonly Fact[] {
  if (countsAtId === null) return [];
  const evidence = { check: null, why: 'tidy', spot: null, code: null, sealUnbroken: false } as const;
  const context = { stopId: null, round: null, note: 'out of a ring of cases' };
  return [{ kind: 'move', ...context, ...evidence, thingId, toId: countsAtId }];
}
