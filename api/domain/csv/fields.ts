// The facts that a column of somebody's list can hold, and how its cells are to be read.
import { z } from 'zod';

/** How the cells of a field are read: as words, a whole number, an amount of money, a date, a weight or a plain number. */
export type CellKind = 'words' | 'whole' | 'money' | 'date' | 'weight' | 'decimal';

export const CELL_KIND_OF = {
  nothing: 'words',
  name: 'words',
  tag: 'words',
  maker: 'words',
  model: 'words',
  serial: 'words',
  description: 'words',
  class: 'words',
  number: 'whole',
  home: 'words',
  whose: 'words',
  owner: 'words',
  'purchased-on': 'date',
  'purchase-price': 'money',
  'purchased-from': 'words',
  'replacement-value': 'money',
  currency: 'words',
  weight: 'weight',
  country: 'words',
  unit: 'words',
  par: 'whole',
  'watt-hours': 'decimal',
  volts: 'decimal',
  'ampere-hours': 'decimal',
  note: 'words',
} as const satisfies Readonly<Record<string, CellKind>>;

const fieldNames = [
  'nothing',
  'name',
  'tag',
  'maker',
  'model',
  'serial',
  'description',
  'class',
  'number',
  'home',
  'whose',
  'owner',
  'purchased-on',
  'purchase-price',
  'purchased-from',
  'replacement-value',
  'currency',
  'weight',
  'country',
  'unit',
  'par',
  'watt-hours',
  'volts',
  'ampere-hours',
  'note',
] as const satisfies readonly (keyof typeof CELL_KIND_OF)[];

export const fieldSchema = z.enum(fieldNames);
/** What a column holds; "nothing" is a column that is not brought in. */
export type Field = z.infer<typeof fieldSchema>;
export const FIELDS: readonly Field[] = fieldNames;

/** Fields that several columns may share; their texts are put together. */
export const FIELDS_SHARED: readonly Field[] = ['nothing', 'description', 'note'];

export const decimalSignSchema = z.enum(['.', ',']);
/** The sign before the decimals; the other one, if any, groups thousands. */
export type DecimalSign = z.infer<typeof decimalSignSchema>;
export const dateOrderSchema = z.enum(['dmy', 'mdy']);
/** What 03/04 means. A date that begins with its year is always read as year, month, day. */
export type DateOrder = z.infer<typeof dateOrderSchema>;
export const weightUnitSchema = z.enum(['g', 'kg', 'lb', 'oz']);
export type WeightUnit = z.infer<typeof weightUnitSchema>;

/** How one column is to be read, as guessed or as a person chose. A sense that its field does not need is null. */
export const columnChoiceSchema = z.strictObject({
  field: fieldSchema,
  decimal: decimalSignSchema.nullable().default(null),
  dateOrder: dateOrderSchema.nullable().default(null),
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/, 'must be an ISO 4217 code such as EUR')
    .nullable()
    .default(null),
  weightUnit: weightUnitSchema.nullable().default(null),
});
/** What a person changes of a column. */
export const columnChangeSchema = z.strictObject({
  field: fieldSchema.optional(),
  decimal: decimalSignSchema.optional(),
  dateOrder: dateOrderSchema.optional(),
  currency: z
    .string()
    .regex(/^[A-Z]{3}$/, 'must be an ISO 4217 code such as EUR')
    .optional(),
  weightUnit: weightUnitSchema.optional(),
});
export type ColumnChange = z.infer<typeof columnChangeSchema>;
export type ColumnChoice = z.infer<typeof columnChoiceSchema>;
