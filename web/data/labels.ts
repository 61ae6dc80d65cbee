// Labels: what may carry one, tags for what has none, the picture of a sheet and the PDF to print; and the choices of this desk,
// which it remembers.
import { z } from 'zod';
import { placeIdSchema, thingIdSchema } from '#domain/ids.ts';
import { type LabelChoices, labelChoicesSchema } from '#domain/label-print.ts';
import { dateSchema, whoseSchema } from '#domain/thing.ts';
import { type Asked, ask, readRefusal } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAsked } from './use-answer.ts';

const labelledSchema = z.strictObject({
  id: z.union([thingIdSchema, placeIdSchema]),
  kind: z.enum(['thing', 'place']),
  name: z.string(),
  tag: z.string().nullable(),
  whose: whoseSchema,
  whoseUntil: dateSchema.nullable(),
  home: z.array(z.strictObject({ id: placeIdSchema, name: z.string() })),
});
export type Labelled = z.infer<typeof labelledSchema>;
const pageSchema = pageSchemaOf(labelledSchema);

const askLabelled = (path: string, signal: AbortSignal): Promise<Asked<readonly Labelled[]>> =>
  askAll(path, pageSchema, signal);

/** Everything that may carry a label, in home order. */
export const useLabelled = (): Told<readonly Labelled[]> => useAsked('/api/labels', askLabelled);

const givenSchema = z.strictObject({ given: z.array(z.strictObject({ id: z.string(), code: z.string() })) });

/** A tag for each that has none; what each of them has now. */
export function giveTags(labelled: readonly Labelled[]): Promise<Asked<z.infer<typeof givenSchema>>> {
  const idsOf = (kind: Labelled['kind']) => labelled.filter((one) => one.kind === kind).map(({ id }) => id);
  const body = { thingIds: idsOf('thing'), placeIds: idsOf('place') };
  return ask('/api/labels/tags', givenSchema, { method: 'POST', body });
}

async function askBlob(path: string, body: string, signal?: AbortSignal): Promise<Asked<Blob>> {
  try {
    const response = await fetch(path, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body,
      ...(signal ? { signal } : {}),
    });
    if (!response.ok) return await readRefusal(response);
    return { ok: true, body: await response.blob(), version: null };
  } catch (error) {
    // Fetch throws a TypeError when nobody answers; anything else, an abort too, is the caller's.
    if (!(error instanceof TypeError)) throw error;
    return { ok: false, status: 0, kind: 'no-answer', sentence: 'The service does not answer. Try again.' };
  }
}

export const sheetBody = (codes: readonly string[], choices: LabelChoices): string =>
  JSON.stringify({ ...choices, codes });

export const makeSheetPdf = (codes: readonly string[], choices: LabelChoices): Promise<Asked<Blob>> =>
  askBlob('/api/labels/sheet.pdf', sheetBody(codes, choices));

/** The first page of these labels, as the text that `sheetBody` made says them. */
export const askSheetPicture = (body: string, signal: AbortSignal): Promise<Asked<Blob>> =>
  askBlob('/api/labels/sheet.svg', body, signal);

/** Where one label is drawn by itself. */
export function singleLabelPath(code: string, kind: 'svg' | 'png', choices: LabelChoices): string {
  const { format, symbol, dpi, names, contact } = choices;
  const query = new URLSearchParams({ format, dpi: String(dpi), names: String(names) });
  if (symbol !== null) query.set('symbol', symbol);
  if (contact !== null) query.set('contact', contact);
  return `/api/codes/${encodeURIComponent(code)}/label.${kind}?${query}`;
}

export function calibrationPath({ format, shiftXMm, shiftYMm }: LabelChoices): string {
  const query = new URLSearchParams({ format, shiftXMm: String(shiftXMm), shiftYMm: String(shiftYMm) });
  return `/api/labels/calibration.pdf?${query}`;
}

const KEY = 'tailcount-labels';
const FIRST_CHOICES: LabelChoices = labelChoicesSchema.parse({ format: 'a4-65' });

/** What was chosen last on this desk; the first choices where nothing is kept. */
export function readChoices(): LabelChoices {
  try {
    const kept = labelChoicesSchema.safeParse(JSON.parse(localStorage.getItem(KEY) ?? ''));
    return kept.success ? kept.data : FIRST_CHOICES;
  } catch {
    // Nothing kept, or a private window.
    return FIRST_CHOICES;
  }
}

export function keepChoices(choices: LabelChoices): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(choices));
  } catch {
    // A private window keeps nothing; the choices are made again next time.
  }
}
