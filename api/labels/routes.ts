// Labels over HTTP: what may carry one, tags for what has none, sheets as PDF, single labels as SVG and PNG.
import { z } from 'zod';
import { placeIdSchema, plainIdSchema, thingIdSchema } from '#domain/ids.ts';
import { findFormat } from '#domain/label-format.ts';
import { LABELS_PER_PRINT_MAX, labelChoicesSchema } from '#domain/label-print.ts';
import { scannedTextSchema } from '#domain/scanned-text.ts';
import { cursorOf, pageQueryOf, pageSchemaOf } from '../http/paging.ts';
import { type Answer, defineRoute, type Route } from '../http/route.ts';
import { drawLabels } from './draw-labels.ts';
import { giveTags } from './give-tags.ts';
import { labelPng } from './label-png.ts';
import { labelSvg } from './label-svg.ts';
import { labelledSchema, readLabelled } from './read-labelled.ts';
import { sheetSvg } from './sheet-svg.ts';

const tag = 'Labels';
const codes = z.array(scannedTextSchema).min(1).max(LABELS_PER_PRINT_MAX);
const sheetBodySchema = labelChoicesSchema.extend({ codes });

const list = defineRoute({
  method: 'get',
  path: '/api/labels',
  summary: 'Things and places that may carry a label, in home order, each with its tag if it has one.',
  tag,
  query: z.strictObject({ ...pageQueryOf(z.strictObject({ id: plainIdSchema })) }),
  answers: { 200: pageSchemaOf('labels', labelledSchema) },
  handle: async ({ query }, { connections: { sql } }) => {
    const all = await readLabelled(sql);
    const { after } = query;
    const from = after === undefined ? 0 : all.findIndex(({ id }) => id === after.id) + 1;
    const labels = all.slice(from, from + query.limit);
    const last = from + labels.length < all.length ? labels.at(-1) : undefined;
    return { status: 200, body: { labels, next: cursorOf(last === undefined ? null : { id: last.id }) } };
  },
});

const ids = <S extends z.ZodType>(schema: S) => z.array(schema).max(LABELS_PER_PRINT_MAX).default([]);

const give = defineRoute({
  method: 'post',
  path: '/api/labels/tags',
  summary: 'A new tag for each of these things and places that has none. The same again changes nothing.',
  tag,
  body: z.strictObject({ thingIds: ids(thingIdSchema), placeIds: ids(placeIdSchema) }),
  answers: {
    200: z.strictObject({ given: z.array(z.strictObject({ id: plainIdSchema, code: z.string() })) }),
  },
  refusals: ['unknown-reference'],
  handle: async ({ body }, { connections: { sql }, clock }): Promise<Answer> => {
    const done = await giveTags(sql, { ...body, now: clock() });
    return 'refusal' in done ? done : { status: 200, body: done };
  },
});

const pdf = defineRoute({
  method: 'post',
  path: '/api/labels/sheet.pdf',
  summary: 'Labels of these codes, in this order, as PDF in true size. Print it at 100 %.',
  tag,
  body: sheetBodySchema,
  media: ['application/pdf'],
  answers: {},
  refusals: ['not-a-tag', 'contradiction'],
  handle: async ({ body }, { connections: { sql } }): Promise<Answer> => {
    const drawn = await drawLabels(sql, body.codes, body);
    if ('refusal' in drawn) return drawn;
    // The PDF writer takes a third of a second to load, which no start shall wait for.
    const { sheetPdf } = await import('./sheet-pdf.ts');
    const bytes = await sheetPdf(drawn.drawings, { ...body, format: drawn.planned.format });
    return { status: 200, bytes, type: 'application/pdf' };
  },
});

const svgPage = defineRoute({
  method: 'post',
  path: '/api/labels/sheet.svg',
  summary: 'One page of these labels as SVG, to be looked at before it is printed.',
  tag,
  body: sheetBodySchema.extend({ page: z.int().min(0).max(LABELS_PER_PRINT_MAX).default(0) }),
  media: ['image/svg+xml'],
  answers: {},
  refusals: ['not-a-tag', 'contradiction'],
  handle: async ({ body }, { connections: { sql } }): Promise<Answer> => {
    const drawn = await drawLabels(sql, body.codes, body);
    if ('refusal' in drawn) return drawn;
    const svg = sheetSvg(drawn.drawings, { ...body, format: drawn.planned.format }, body.page);
    return { status: 200, bytes: svg, type: 'image/svg+xml' };
  },
});

const { format, shiftXMm, shiftYMm } = labelChoicesSchema.shape;
const number = (text: unknown) => (text === undefined ? undefined : Number(text));

const calibration = defineRoute({
  method: 'get',
  path: '/api/labels/calibration.pdf',
  summary: 'A page that shows whether the printer prints at true size, and how far off, for one format.',
  tag,
  query: z.strictObject({
    format,
    shiftXMm: z.preprocess(number, shiftXMm),
    shiftYMm: z.preprocess(number, shiftYMm),
  }),
  media: ['application/pdf'],
  answers: {},
  handle: async ({ query }): Promise<Answer> => {
    const found = findFormat(query.format);
    if (found === null) return { refusal: { kind: 'not-found' } };
    const { calibrationPdf } = await import('./calibration-pdf.ts');
    const bytes = await calibrationPdf(found, { xMm: query.shiftXMm, yMm: query.shiftYMm });
    return { status: 200, bytes, type: 'application/pdf' };
  },
});

const single = {
  params: z.strictObject({ code: scannedTextSchema }),
  query: z.strictObject({
    format: format.default('roll-24'),
    symbol: labelChoicesSchema.shape.symbol.unwrap().unwrap().optional(),
    dpi: z.preprocess(number, labelChoicesSchema.shape.dpi),
    names: z.enum(['true', 'false']).default('true'),
    contact: labelChoicesSchema.shape.contact.unwrap().unwrap().optional(),
  }),
};
type Single = { readonly code: string; readonly query: z.infer<(typeof single)['query']> };

function choicesOf({ query }: Single) {
  const { symbol = null, contact = null, names, ...rest } = query;
  return labelChoicesSchema.parse({ ...rest, symbol, contact, names: names === 'true' });
}

const svg = defineRoute({
  method: 'get',
  path: '/api/codes/{code}/label.svg',
  summary: 'The label of a tag as SVG in millimetres, in whole dots of the printer. Print it unscaled.',
  tag,
  ...single,
  media: ['image/svg+xml'],
  answers: {},
  refusals: ['not-a-tag', 'contradiction'],
  handle: async ({ params: { code }, query }, { connections: { sql } }): Promise<Answer> => {
    const drawn = await drawLabels(sql, [code], choicesOf({ code, query }));
    if ('refusal' in drawn) return drawn;
    return { status: 200, bytes: drawn.drawings.map(labelSvg).join(''), type: 'image/svg+xml' };
  },
});

const png = defineRoute({
  method: 'get',
  path: '/api/codes/{code}/label.png',
  summary: 'The label of a tag as PNG for a label printer: one pixel is one dot, black or white.',
  tag,
  ...single,
  media: ['image/png'],
  answers: {},
  refusals: ['not-a-tag', 'contradiction'],
  handle: async ({ params: { code }, query }, { connections: { sql } }): Promise<Answer> => {
    const drawn = await drawLabels(sql, [code], choicesOf({ code, query }));
    if ('refusal' in drawn) return drawn;
    return { status: 200, bytes: Buffer.concat(drawn.drawings.map(labelPng)), type: 'image/png' };
  },
});

export const labelRoutes: readonly Route[] = [list, give, pdf, svgPage, calibration, svg, png];
