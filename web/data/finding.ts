// What is looked for and narrowed by, as it stands in the address of the screen "Find", and the service's answer.
import { useEffect, useState } from 'react';
import type { z } from 'zod';
import { type SearchHit, searchAnswerSchema } from '#domain/search-hit.ts';
import { type Asked, ask } from './ask.ts';
import { type Answer, type Told, useAnswer } from './use-answer.ts';

/** The filters that an address can hold, under the names that the service knows them by. */
export const FILTERS = ['kind', 'matter', 'writtenOff', 'whose', 'class', 'place'] as const;
export type FilterName = (typeof FILTERS)[number];
const ASKED = ['q', ...FILTERS, 'order', 'after'] as const;
// In one breath as much as the service gives.
const PAGE_MAX = 500;
/** More than this are not selected at once. */
export const SELECTED_MAX = 10_000;

/** The question for the service; null where nothing was typed and nothing chosen. What it does not know is left out. */
export function questionOf(query: URLSearchParams): URLSearchParams | null {
  const asked = new URLSearchParams({ q: (query.get('q') ?? '').slice(0, 200) });
  for (const name of ASKED.slice(1)) {
    const value = query.get(name);
    if (value !== null && value !== '') asked.set(name, value);
  }
  const asksNothing = asked.get('q')?.trim() === '' && FILTERS.every((name) => !asked.has(name));
  return asksNothing ? null : asked;
}

export type FoundPage = z.infer<typeof searchAnswerSchema>;

/** What the address asks for. While a newer question is asked, what was found before stays, and is said to be old. */
export function useFinding(query: URLSearchParams): Told<FoundPage> & { readonly isOld: boolean } {
  const asked = questionOf(query);
  const { answer, again } = useAnswer(asked === null ? null : `/api/search?${asked}`, searchAnswerSchema);
  const [kept, setKept] = useState<Answer<FoundPage>>('loading');
  useEffect(() => {
    if (answer !== 'loading') setKept(answer);
  }, [answer]);
  return { answer: answer === 'loading' ? kept : answer, again, isOld: answer === 'loading' };
}

/** All things that the question finds, up to the most that can be selected. */
export async function findAllThings(query: URLSearchParams): Promise<Asked<readonly SearchHit[]>> {
  const asked = questionOf(query) ?? new URLSearchParams({ q: '' });
  asked.set('limit', String(PAGE_MAX));
  asked.delete('after');
  const hits: SearchHit[] = [];
  for (;;) {
    const answer = await ask(`/api/search?${asked}`, searchAnswerSchema);
    if (!answer.ok) return answer;
    hits.push(...answer.body.hits.filter(({ thing }) => thing !== null));
    if (answer.body.next === null || hits.length >= SELECTED_MAX)
      return { ok: true, body: hits.slice(0, SELECTED_MAX), version: null };
    asked.set('after', answer.body.next);
  }
}
