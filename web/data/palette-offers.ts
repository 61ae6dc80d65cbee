// What the outfit has that can be gone to by typing: its latest jobs, stops and counts, and the things and places that
// the search finds. Asked only while the palette is open.
import { useEffect, useState } from 'react';
import type { z } from 'zod';
import { type Job, jobSchema, type Stop, stopSchema } from '#domain/place.ts';
import { type SearchHit, searchAnswerSchema } from '#domain/search-hit.ts';
import { ask } from './ask.ts';
import { type CountEntry, countEntrySchema } from './counts.ts';
import { pageSchemaOf } from './pages.ts';

// The latest of each; what is older is found on its screen.
const LATEST_MAX = 200;
const TYPING_PAUSE_MS = 120;
const HITS_MAX = 20;

export interface Latest {
  readonly jobs: readonly Job[];
  readonly stops: readonly Stop[];
  readonly counts: readonly CountEntry[];
}
const NOTHING: Latest = { jobs: [], stops: [], counts: [] };

async function askLatest<T>(
  path: string,
  schema: z.ZodType<{ records: T[]; next: string | null }>,
  signal: AbortSignal,
): Promise<readonly T[]> {
  const answer = await ask(`${path}?limit=${LATEST_MAX}`, schema, { signal });
  return answer.ok ? answer.body.records : [];
}

const jobsSchema = pageSchemaOf(jobSchema);
const stopsSchema = pageSchemaOf(stopSchema);
const countsSchema = pageSchemaOf(countEntrySchema);

/** Asked once, when the palette opens; what is refused or away is simply not offered. */
export function useLatest(): Latest {
  const [latest, setLatest] = useState(NOTHING);
  useEffect(() => {
    const stop = new AbortController();
    const { signal } = stop;
    Promise.all([
      askLatest('/api/jobs', jobsSchema, signal),
      askLatest('/api/stops', stopsSchema, signal),
      askLatest('/api/counts', countsSchema, signal),
    ])
      .then(([jobs, stops, counts]) => setLatest({ jobs, stops, counts }))
      .catch((error: unknown) => {
        if (!signal.aborted) throw error;
      });
    return () => stop.abort();
  }, []);
  return latest;
}

/** What the service finds for the text, after a short pause in the typing. The hits before stay until then. */
export function useHits(text: string): readonly SearchHit[] {
  const [hits, setHits] = useState<readonly SearchHit[]>([]);
  const asked = text.trim();
  useEffect(() => {
    if (asked === '') {
      setHits([]);
      return;
    }
    const stop = new AbortController();
    const pause = setTimeout(() => {
      const path = `/api/search?limit=${HITS_MAX}&q=${encodeURIComponent(asked)}`;
      ask(path, searchAnswerSchema, { signal: stop.signal })
        .then((answer) => setHits(answer.ok ? answer.body.hits : []))
        .catch((error: unknown) => {
          if (!stop.signal.aborted) throw error;
        });
    }, TYPING_PAUSE_MS);
    return () => {
      clearTimeout(pause);
      stop.abort();
    };
  }, [asked]);
  return hits;
}
