// What hangs on a thing: pictures, prices, checks at the last wraps, what is built on it, what was written off, and other
// entries that were the same.
import { z } from 'zod';
import { mergeSchema } from '#domain/merge.ts';
import { type Thing, thingSchema } from '#domain/thing.ts';
import { wrapCheckSchema } from '#domain/thing-checks.ts';
import {
  type ReplacementValueFacts,
  replacementValueSchema,
  type WriteOffFacts,
  writeOffSchema,
} from '#domain/worth.ts';
import { type Asked, ask } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAnswer, useAsked } from './use-answer.ts';

const thingsPage = pageSchemaOf(thingSchema);
const askThings = (path: string, signal: AbortSignal): Promise<Asked<readonly Thing[]>> =>
  askAll(path, thingsPage, signal);

export const useBuiltOn = (id: string): Told<readonly Thing[]> =>
  useAsked(`/api/things?builtOn=${id}`, askThings);
export const useMergedInto = (id: string): Told<readonly Thing[]> =>
  useAsked(`/api/things?mergedInto=${id}`, askThings);

const foundSchema = z.looseObject({ things: z.array(thingSchema) });
/** Things by any words of theirs, the first twenty. An empty question asks nothing. */
export const useThingsLike = (text: string): Told<z.infer<typeof foundSchema>> =>
  useAnswer(
    text.trim() === '' ? null : `/api/things?limit=20&text=${encodeURIComponent(text.trim())}`,
    foundSchema,
  );

const checksSchema = z.strictObject({ checks: z.array(wrapCheckSchema) });
export const useChecks = (id: string) => useAnswer(`/api/things/${id}/checks`, checksSchema);

const valuesSchema = z.strictObject({ values: z.array(replacementValueSchema) });
export const useValues = (id: string) => useAnswer(`/api/things/${id}/values`, valuesSchema);
export const addValue = (thingId: string, id: string, facts: ReplacementValueFacts) =>
  ask(`/api/things/${thingId}/values`, replacementValueSchema, { method: 'POST', body: { ...facts, id } });

const writeOffsPage = pageSchemaOf(writeOffSchema);
const askWriteOffs = (path: string, signal: AbortSignal) => askAll(path, writeOffsPage, signal);
export const useWriteOffs = (id: string) => useAsked(`/api/write-offs?thing=${id}`, askWriteOffs);
export const writeOff = (id: string, facts: WriteOffFacts) =>
  ask('/api/write-offs', writeOffSchema, { method: 'POST', body: { ...facts, id } });
export const takeBackWriteOff = (id: string) =>
  ask(`/api/write-offs/${id}`, z.unknown(), { method: 'DELETE' });

/** `gone` is the same thing as `into`, which stays. */
export const mergeInto = (gone: string, into: string) =>
  ask(`/api/things/${gone}/merge`, mergeSchema, { method: 'POST', body: { into } });
export const takeBackMerge = (gone: string) =>
  ask(`/api/things/${gone}/merge`, thingSchema, { method: 'DELETE' });
