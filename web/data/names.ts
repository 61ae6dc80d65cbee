// The names behind ids that lines of the ledger carry: who, and at which stop with which zone.
import { useMemo } from 'react';
import { z } from 'zod';
import { type Stop, stopSchema } from '#domain/place.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { useAsked } from './use-answer.ts';

const peopleSchema = pageSchemaOf(z.looseObject({ id: z.string(), name: z.string() }));
const stopsSchema = pageSchemaOf(stopSchema);
const classesSchema = pageSchemaOf(
  z.looseObject({ id: z.string(), name: z.string(), parentId: z.string().nullable() }),
);
type Named = { readonly id: string; readonly name: string };

const askPeople = (path: string, signal: AbortSignal) => askAll(path, peopleSchema, signal);
const askStops = (path: string, signal: AbortSignal) => askAll(path, stopsSchema, signal);
const askClasses = (path: string, signal: AbortSignal) => askAll(path, classesSchema, signal);

function useById<T extends { readonly id: string }>(
  path: string,
  question: Parameters<typeof useAsked<readonly T[]>>[1],
): ReadonlyMap<string, T> {
  const { answer } = useAsked(path, question);
  return useMemo(() => {
    const records = answer !== 'loading' && answer.ok ? answer.body : [];
    return new Map(records.map((record) => [record.id, record]));
  }, [answer]);
}

export const usePeople = (): ReadonlyMap<string, Named> => useById<Named>('/api/people', askPeople);
export const useClasses = (): ReadonlyMap<string, Named> => useById<Named>('/api/classes', askClasses);
export const useStops = (): ReadonlyMap<string, Stop> => useById<Stop>('/api/stops', askStops);
