// Lists over HTTP: how a file is understood, what it would do, and bringing it in with progress.
import type { Request, Response } from 'express';
import { z } from 'zod';
import { delimiterSchema } from '#domain/csv/delimiter.ts';
import { columnChoiceSchema } from '#domain/csv/fields.ts';
import { DOES, type PlannedLine, sumPlan } from '#domain/csv/plan-lines.ts';
import { cleanText } from '#domain/movement.ts';
import type { Outfit } from '#domain/place.ts';
import { moneySchema, whoseSchema } from '#domain/thing.ts';
import { problemOf } from '../http/problem.ts';
import { type Answer, bytesSchema, type Deps, defineRoute, type Route } from '../http/route.ts';
import { readOutfit } from '../outfit/store.ts';
import { bringIn, type ListToBringIn } from './bring-in.ts';
import { type Choices, choicesQuerySchema } from './choices.ts';
import { ENCODINGS } from './decode-file.ts';
import type { ListRefusal } from './list-refusal.ts';
import { planFile } from './plan-file.ts';
import { reasonOf } from './refused-file.ts';
import { type UnderstoodList, understandFile } from './understand-file.ts';

export const FILE_BYTES_MAX = 20_000_000;
const PLAN_LINES_MAX = 500;

const tag = 'Lists';
const refusals = [
  'not-a-list',
  'quote-not-closed',
  'too-many-rows',
  'too-wide',
  'empty-list',
  'no-outfit',
  'contradiction',
] as const;

const columnSchema = columnChoiceSchema.extend({
  index: z.int(),
  heading: z.string(),
  samples: z.array(z.string()),
  filled: z.int(),
  why: z.string(),
  sure: z.boolean(),
});
const understoodSchema = z.strictObject({
  encoding: z.enum(ENCODINGS),
  delimiter: delimiterSchema,
  headingRow: z.int(),
  lines: z.int(),
  columns: z.array(columnSchema),
});

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

const lineSchema = z.strictObject({
  row: z.int(),
  does: z.enum(DOES),
  number: z.int(),
  reason: z.string().nullable(),
  faults: z.array(z.strictObject({ column: z.int().nullable(), heading: z.string(), detail: z.string() })),
  facts: z.strictObject({
    name: z.string(),
    maker: z.string().nullable(),
    model: z.string().nullable(),
    serial: z.string().nullable(),
    description: z.string().nullable(),
    note: z.string().nullable(),
    className: z.string().nullable(),
    home: z.array(z.string()),
    whose: whoseSchema,
    ownerName: z.string().nullable(),
    purchasedOn: z.string().nullable(),
    purchase: moneySchema.nullable(),
    purchasedFrom: z.string().nullable(),
    replacement: moneySchema.nullable(),
    weightGrams: z.int().nullable(),
    country: z.string().nullable(),
    unit: z.string().nullable(),
    par: z.int().nullable(),
    wattHours: z.number().nullable(),
    volts: z.number().nullable(),
    ampereHours: z.number().nullable(),
    number: z.int().nullable(),
    code: z.strictObject({ kind: z.enum(['tag', 'foreign', 'gtin']), code: z.string() }).nullable(),
  }),
});

type Opened = { readonly list: UnderstoodList; readonly outfit: Outfit } | { readonly refusal: ListRefusal };

async function open(bytes: Uint8Array, choices: Choices, deps: Deps): Promise<Opened> {
  const outfit = await readOutfit(deps.connections.sql);
  if (outfit === null) return { refusal: { kind: 'no-outfit' } };
  const list = understandFile(bytes, choices, outfit);
  return 'refusal' in list ? list : { list, outfit };
}

const understand = defineRoute({
  method: 'post',
  path: '/api/imports/understand',
  summary:
    'How a list is understood: its encoding, its columns, and what 1.234 and 03/04 mean in it. The body is the file.',
  tag,
  bytesMax: FILE_BYTES_MAX,
  query: z.strictObject({ choices: choicesQuerySchema }),
  body: bytesSchema,
  answers: { 200: understoodSchema },
  refusals,
  handle: async ({ query, body }, deps): Promise<Answer> => {
    const opened = await open(body, query.choices, deps);
    if ('refusal' in opened) return opened;
    const { rows: _rows, ...understood } = opened.list;
    return { status: 200, body: understood };
  },
});

function showLine({ row, does, number, faults, facts, ...line }: PlannedLine) {
  return {
    row,
    does,
    number,
    reason: faults.length === 0 ? null : reasonOf({ row, does, number, faults, facts, ...line }),
    faults,
    facts,
  };
}

const plan = defineRoute({
  method: 'post',
  path: '/api/imports/plan',
  summary:
    'What bringing in the list would do, line by line, `limit` lines behind row `after`. Nothing is written.',
  tag,
  bytesMax: FILE_BYTES_MAX,
  query: z.strictObject({
    choices: choicesQuerySchema,
    does: z.enum(DOES).optional(),
    after: z.coerce.number().int().min(0).default(0),
    limit: z.coerce.number().int().min(1).max(PLAN_LINES_MAX).default(100),
  }),
  body: bytesSchema,
  answers: {
    200: z.strictObject({ sums: sumsSchema, lines: z.array(lineSchema), next: z.int().nullable() }),
  },
  refusals,
  handle: async ({ query, body }, deps): Promise<Answer> => {
    const opened = await open(body, query.choices, deps);
    if ('refusal' in opened) return opened;
    const { list, outfit } = opened;
    const lines = await planFile(deps.connections.sql, list, query.choices, outfit.currency);
    const asked = lines.filter(
      (line) => line.row > query.after && (query.does === undefined || line.does === query.does),
    );
    const shown = asked.slice(0, query.limit);
    const next = asked.length > shown.length ? (shown.at(-1)?.row ?? null) : null;
    return { status: 200, body: { sums: sumPlan(lines), lines: shown.map(showLine), next } };
  },
});

// Each line is one JSON object: progress as it goes, then what was done or the problem. Compression would hold lines back.
function streamOf(bring: Omit<ListToBringIn, 'report'>, deps: Deps) {
  return async (_req: Request, res: Response): Promise<void> => {
    res.status(200).set({
      'cache-control': 'no-store, no-transform',
      'content-type': 'application/x-ndjson; charset=utf-8',
    });
    const say = (line: object) => void res.write(`${JSON.stringify(line)}\n`);
    try {
      const done = await bringIn(deps.connections.sql, { ...bring, report: (progress) => say({ progress }) });
      say({ done });
    } catch (error) {
      // The status is sent already; nothing of the list was kept.
      const requestId = crypto.randomUUID();
      deps.log.error({ requestId, err: error }, 'a list was not brought in');
      say({ problem: problemOf({ kind: 'internal', requestId }) });
    }
    res.end();
  };
}

const bring = defineRoute({
  method: 'post',
  path: '/api/imports',
  summary:
    'Brings in all good lines in one transaction. Answers one JSON object a line: {"progress"} as it goes, at last {"done"} with the refused lines as a file, or {"problem"}.',
  tag,
  bytesMax: FILE_BYTES_MAX,
  query: z.strictObject({
    choices: choicesQuerySchema,
    name: cleanText(200).min(1).default('without a name'),
  }),
  body: bytesSchema,
  media: ['application/x-ndjson'],
  answers: {},
  refusals,
  handle: async ({ query, body }, deps): Promise<Answer> => {
    const opened = await open(body, query.choices, deps);
    if ('refusal' in opened) return opened;
    const { list, outfit } = opened;
    return {
      stream: streamOf(
        { list, outfit, choices: query.choices, fileName: query.name, now: deps.clock() },
        deps,
      ),
    };
  },
});

export const importRoutes: readonly Route[] = [understand, plan, bring];
