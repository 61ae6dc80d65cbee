// The facts of a thing as a form has them: which field holds what, in which group, and for which kinds of thing.
import type { ThingFacts, ThingKind } from '#domain/thing.ts';

/** Every fact but the homes, which are a list of their own. */
export type FieldKey = Exclude<keyof ThingFacts, 'homes'>;

export const GROUPS = [
  'What it is',
  'Whose it is',
  'At a wrap',
  'How it was bought',
  'Weight and size',
  'Battery',
  'Stock',
] as const;
export type Group = (typeof GROUPS)[number];

/** How a field is filled in. `money` names the field that holds its currency; without one it is the outfit's own. */
export type FieldKind =
  | { readonly is: 'text' | 'long' | 'date' | 'tick' | 'currency' | 'class' | 'party' | 'thing' }
  | { readonly is: 'whole' | 'decimal' }
  | { readonly is: 'money'; readonly currency: 'purchaseCurrency' | null }
  | { readonly is: 'choice'; readonly options: readonly (readonly [value: string, name: string])[] };

export interface FieldRow {
  readonly key: FieldKey;
  readonly label: string;
  readonly group: Group;
  readonly kind: FieldKind;
  readonly hint?: string;
  /** Asked of these kinds only; of all where absent. */
  readonly only?: readonly ThingKind[];
}

const text = { is: 'text' } as const;
const whole = { is: 'whole' } as const;
const decimal = { is: 'decimal' } as const;
const date = { is: 'date' } as const;

const WHOSE_OPTIONS = [
  ['ours', 'ours'],
  ['rented-in', 'rented in'],
  ['borrowed', 'borrowed'],
  ['client', 'client’s'],
] as const;
const FEE_OPTIONS = [
  ['', 'no fee'],
  ['day', 'a day'],
  ['week', 'a week'],
  ['month', 'a month'],
  ['job', 'a job'],
] as const;
const CHECK_OPTIONS = [
  ['', 'as its class says'],
  ['scanned', 'scanned'],
  ['seen', 'seen'],
  ['by-number', 'by number'],
  ['by-sight', 'by sight'],
  ['with-container', 'with its container'],
  ['not-opened', 'not opened'],
] as const;
const CHEMISTRY_OPTIONS = [
  ['', 'no battery, or not known'],
  ['lithium-ion', 'lithium-ion'],
  ['lithium-metal', 'lithium metal'],
  ['nimh', 'nickel-metal hydride'],
  ['lead-acid', 'lead-acid'],
  ['alkaline', 'alkaline'],
  ['other', 'other'],
] as const;

export const FIELDS: readonly FieldRow[] = [
  { key: 'name', label: 'Name', group: 'What it is', kind: text },
  { key: 'classId', label: 'Class', group: 'What it is', kind: { is: 'class' } },
  { key: 'maker', label: 'Maker', group: 'What it is', kind: text },
  { key: 'model', label: 'Model', group: 'What it is', kind: text },
  { key: 'serial', label: 'Serial number', group: 'What it is', kind: text },
  {
    key: 'container',
    label: 'Holds others',
    group: 'What it is',
    kind: { is: 'tick' },
    hint: 'A case, cart, drawer or pouch, or a built camera: what is in it moves along.',
    only: ['item'],
  },
  { key: 'builtOnId', label: 'Built on', group: 'What it is', kind: { is: 'thing' } },
  { key: 'description', label: 'Description', group: 'What it is', kind: { is: 'long' } },
  { key: 'note', label: 'Note', group: 'What it is', kind: { is: 'long' } },
  { key: 'whose', label: 'Whose', group: 'Whose it is', kind: { is: 'choice', options: WHOSE_OPTIONS } },
  { key: 'ownerPlaceId', label: 'Owner', group: 'Whose it is', kind: { is: 'party' } },
  { key: 'whoseFrom', label: 'From', group: 'Whose it is', kind: date },
  { key: 'whoseUntil', label: 'Until', group: 'Whose it is', kind: date },
  { key: 'feeMinor', label: 'Fee', group: 'Whose it is', kind: { is: 'money', currency: null } },
  { key: 'feePer', label: 'Fee is for', group: 'Whose it is', kind: { is: 'choice', options: FEE_OPTIONS } },
  {
    key: 'check',
    label: 'Checked at wrap',
    group: 'At a wrap',
    kind: { is: 'choice', options: CHECK_OPTIONS },
  },
  { key: 'purchasedOn', label: 'Bought on', group: 'How it was bought', kind: date },
  {
    key: 'purchaseMinor',
    label: 'Price',
    group: 'How it was bought',
    kind: { is: 'money', currency: 'purchaseCurrency' },
  },
  { key: 'purchaseCurrency', label: 'Currency', group: 'How it was bought', kind: { is: 'currency' } },
  { key: 'purchasedFrom', label: 'Bought from', group: 'How it was bought', kind: text },
  {
    key: 'country',
    label: 'Made in',
    group: 'How it was bought',
    kind: text,
    hint: 'Two letters, as in ISO 3166: PT, JP. Customs lists ask for it.',
  },
  { key: 'weightGrams', label: 'Weight in grams', group: 'Weight and size', kind: whole },
  { key: 'widthMm', label: 'Width in mm', group: 'Weight and size', kind: whole },
  { key: 'heightMm', label: 'Height in mm', group: 'Weight and size', kind: whole },
  { key: 'depthMm', label: 'Depth in mm', group: 'Weight and size', kind: whole },
  {
    key: 'chemistry',
    label: 'Chemistry',
    group: 'Battery',
    kind: { is: 'choice', options: CHEMISTRY_OPTIONS },
    only: ['item', 'counted'],
  },
  { key: 'wattHours', label: 'Watt-hours', group: 'Battery', kind: decimal, only: ['item', 'counted'] },
  { key: 'volts', label: 'Volts', group: 'Battery', kind: decimal, only: ['item', 'counted'] },
  { key: 'ampereHours', label: 'Ampere-hours', group: 'Battery', kind: decimal, only: ['item', 'counted'] },
  {
    key: 'lithiumGrams',
    label: 'Grams of lithium',
    group: 'Battery',
    kind: decimal,
    only: ['item', 'counted'],
  },
  { key: 'cycles', label: 'Times charged', group: 'Battery', kind: whole, only: ['item'] },
  {
    key: 'unit',
    label: 'Counted in',
    group: 'Stock',
    kind: text,
    hint: 'Rolls, cells, bottles.',
    only: ['counted', 'consumable'],
  },
  {
    key: 'par',
    label: 'How many should be aboard',
    group: 'Stock',
    kind: whole,
    only: ['counted', 'consumable'],
  },
];

/** The fields that a thing of this kind is asked for, and those that hold something though it is not. */
export function fieldsFor(kind: ThingKind, facts: ThingFacts): readonly FieldRow[] {
  return FIELDS.filter(
    ({ key, only }) =>
      only === undefined || only.includes(kind) || (facts[key] !== null && facts[key] !== false),
  );
}
