// What a person chooses for a print of labels; desk and service read it the same way.
import { z } from 'zod';
import { findFormat, LABEL_FORMATS, type LabelFormat, labelsPerPage, roomOf } from './label-format.ts';
import {
  type LabelPlan,
  labelSymbolSchema,
  PRINTER_DPI,
  type PrinterDpi,
  planLabel,
} from './label-symbol.ts';

/** More would be a stack of paper that nobody checks before it is printed. */
export const LABELS_PER_PRINT_MAX = 5_000;
/** A printer that is off by more than this has drawn the paper in askew. */
const SHIFT_MM_MAX = 10;

/** Not who owns it and nothing that says what is inside: whoever finds it can ring, whoever looks learns nothing. */
export const labelContactSchema = z
  .string()
  .trim()
  .regex(
    /^[+(]?\d[\d ()/.-]{3,24}$/,
    'must be a telephone number such as +351 912 000 111; a name would say what is in the case',
  );

const formatId = z.enum(LABEL_FORMATS.map(({ id }) => id));
const dpiSchema = z.union(PRINTER_DPI.map((dpi) => z.literal(dpi)));
const shift = z.number().min(-SHIFT_MM_MAX).max(SHIFT_MM_MAX);

export const labelChoicesSchema = z.strictObject({
  format: formatId,
  /** null: what reads best on this format. */
  symbol: labelSymbolSchema.nullable().default(null),
  dpi: dpiSchema.default(300),
  /** The first label's place on the first sheet, from 1. */
  start: z.int().min(1).max(1_000).default(1),
  /** How far this printer prints too far left and too high, millimetres. */
  shiftXMm: shift.default(0),
  shiftYMm: shift.default(0),
  names: z.boolean().default(true),
  contact: labelContactSchema.nullable().default(null),
});
export type LabelChoices = z.infer<typeof labelChoicesSchema>;

export type LabelRefusal =
  /** The symbol does not go on the label, even with the finest dots; or the whole label has no room for any. */
  | { readonly kind: 'does-not-fit' }
  /** There are so many places on a sheet, and `start` is none of them. */
  | { readonly kind: 'no-such-place'; readonly places: number };

export interface PlannedPrint extends LabelPlan {
  readonly format: LabelFormat;
  readonly dpi: PrinterDpi;
}

/** The plan of a print: refused, in this order, when the symbol does not go on the label or the sheet has no such place. */
export function planPrint(
  choices: Pick<LabelChoices, 'format' | 'symbol' | 'dpi' | 'start'>,
): PlannedPrint | { readonly refusal: LabelRefusal } {
  const format = findFormat(choices.format);
  const planned = format && planLabel(roomOf(format), choices.symbol, choices.dpi);
  if (format === null || planned === null) return { refusal: { kind: 'does-not-fit' } };
  const places = labelsPerPage(format);
  if (choices.start > places) return { refusal: { kind: 'no-such-place', places } };
  return { ...planned, format, dpi: choices.dpi };
}
