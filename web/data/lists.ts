// Bringing in a list: how it is understood, what it would do, and doing it with progress.
import { z } from 'zod';
import { delimiterSchema } from '#domain/csv/delimiter.ts';
import { type ColumnChange, columnChoiceSchema } from '#domain/csv/fields.ts';
import { DOES } from '#domain/csv/plan-lines.ts';
import { moneySchema } from '#domain/thing.ts';
import { type Asked, ask, type Refused, readRefusal } from './ask.ts';
import type { PlaceNode, Places } from './places.ts';

const columnSchema = columnChoiceSchema.extend({
  index: z.int(),
  heading: z.string(),
  samples: z.array(z.string()),
  filled: z.int(),
  why: z.string(),
  sure: z.boolean(),
});
export type ListColumn = z.infer<typeof columnSchema>;
const understoodSchema = z.strictObject({
  encoding: z.string(),
  delimiter: delimiterSchema,
  headingRow: z.int(),
  lines: z.int(),
  columns: z.array(columnSchema),
});
export type Understood = z.infer<typeof understoodSchema>;

export const doesSchema = z.enum(DOES);
const sumsSchema = z.strictObject({
  lines: z.int(),
  things: z.int(),
  'makes-item': z.int(),
  'makes-items': z.int(),
  'makes-counted-gear': z.int(),
  'makes-consumable': z.int(),
  'already-known': z.int(),
  refused: z.int(),
});
export type Sums = z.infer<typeof sumsSchema>;
// Only what the screen shows of a line; the service says more.
const lineSchema = z.looseObject({
  row: z.int(),
  does: doesSchema,
  number: z.int(),
  reason: z.string().nullable(),
  facts: z.looseObject({
    name: z.string(),
    maker: z.string().nullable(),
    model: z.string().nullable(),
    serial: z.string().nullable(),
    home: z.array(z.string()),
    replacement: moneySchema.nullable(),
    purchasedOn: z.string().nullable(),
    code: z.looseObject({ code: z.string() }).nullable(),
  }),
});
export type PlannedLine = z.infer<typeof lineSchema>;
const planSchema = z.strictObject({ sums: sumsSchema, lines: z.array(lineSchema), next: z.int().nullable() });
export type Plan = z.infer<typeof planSchema>;

export interface Choices {
  readonly columns: Readonly<Record<string, ColumnChange>>;
  readonly numberMakes: 'counted-gear' | 'items';
  readonly arriveAt: string;
  /** New homes are compartments of this vehicle; null: places that stand still. */
  readonly vehicle: string | null;
}
const FIRST_CHOICES: Choices = {
  columns: {},
  numberMakes: 'counted-gear',
  arriveAt: 'Store',
  vehicle: 'Van',
};

/** What an outfit that has places already is offered first: its own vehicle and store, the fullest of each. */
export function firstChoicesFor(places: Places | null): Choices {
  const fullest = (kind: PlaceNode['kind']) => {
    const ofKind = [...(places?.byId.values() ?? [])].filter((place) => place.kind === kind);
    return ofKind.sort((a, b) => b.things - a.things)[0]?.name;
  };
  return {
    ...FIRST_CHOICES,
    arriveAt: fullest('store') ?? FIRST_CHOICES.arriveAt,
    vehicle: fullest('vehicle') ?? FIRST_CHOICES.vehicle,
  };
}

export interface ListFile {
  readonly name: string;
  readonly bytes: Blob;
}

const queryOf = (choices: Choices): string => `choices=${encodeURIComponent(JSON.stringify(choices))}`;

export function askUnderstood(
  file: ListFile,
  choices: Choices,
  signal: AbortSignal,
): Promise<Asked<Understood>> {
  const path = `/api/imports/understand?${queryOf(choices)}`;
  return ask(path, understoodSchema, { method: 'POST', bytes: file.bytes, signal });
}

export function askPlan(
  file: ListFile,
  choices: Choices,
  page: { readonly does: string; readonly after: number; readonly signal: AbortSignal },
): Promise<Asked<Plan>> {
  const only = page.does === '' ? '' : `&does=${page.does}`;
  const path = `/api/imports/plan?${queryOf(choices)}&after=${page.after}${only}`;
  return ask(path, planSchema, { method: 'POST', bytes: file.bytes, signal: page.signal });
}

const progressSchema = z.strictObject({ step: z.string(), done: z.int(), of: z.int() });
export type ListProgress = z.infer<typeof progressSchema>;
const doneSchema = z.looseObject({
  sums: sumsSchema,
  classesMade: z.int(),
  placesMade: z.int(),
  refusedFile: z.string().nullable(),
});
export type BroughtIn = z.infer<typeof doneSchema>;
const saidSchema = z.union([
  z.strictObject({ progress: progressSchema }),
  z.strictObject({ done: doneSchema }),
  z.strictObject({ problem: z.looseObject({ title: z.string(), status: z.int() }) }),
]);

const CUT_OFF: Refused = {
  ok: false,
  status: 0,
  kind: 'no-answer',
  sentence:
    'The service stopped in the middle. Bring the list in again: what is in already is known and skipped.',
};

async function* readTextLines(body: ReadableStream<Uint8Array>): AsyncGenerator<string> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  let kept = '';
  for (;;) {
    const { done, value } = await reader.read();
    kept += decoder.decode(value, { stream: !done });
    const lines = kept.split('\n');
    kept = lines.pop() ?? '';
    yield* lines.filter((line) => line !== '');
    if (done) return;
  }
}

async function readStream(
  body: ReadableStream<Uint8Array>,
  onProgress: (progress: ListProgress) => void,
): Promise<Asked<BroughtIn>> {
  for await (const text of readTextLines(body)) {
    const said = saidSchema.parse(JSON.parse(text));
    if ('progress' in said) onProgress(said.progress);
    else if ('done' in said) return { ok: true, body: said.done, version: null };
    else {
      const { status, title } = said.problem;
      return {
        ok: false,
        status,
        kind: 'not-brought-in',
        sentence: `${title} Nothing of the list was kept.`,
      };
    }
  }
  return CUT_OFF;
}

/** Brings the list in, and says how far it is while it does. */
export async function bringIn(
  file: ListFile,
  choices: Choices,
  onProgress: (progress: ListProgress) => void,
): Promise<Asked<BroughtIn>> {
  const path = `/api/imports?${queryOf(choices)}&name=${encodeURIComponent(file.name.slice(0, 200))}`;
  const headers = { 'content-type': 'application/octet-stream' };
  try {
    const response = await fetch(path, { method: 'POST', body: file.bytes, headers });
    if (!response.ok || response.body === null) return await readRefusal(response);
    return await readStream(response.body, onProgress);
  } catch (error) {
    // Fetch and its stream throw a TypeError when the connection breaks; anything else is a mistake of ours.
    if (error instanceof TypeError) return CUT_OFF;
    throw error;
  }
}
