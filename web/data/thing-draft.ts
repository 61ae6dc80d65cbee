// A thing while it is being edited: every field as its text, and back to facts. What cannot be read stays as it was typed,
// with one sentence beside it.
import { decimalSignOf, readNumber, toMinor, toNumber } from '#domain/csv/numbers.ts';
import { placeIdSchema } from '#domain/ids.ts';
import { type ThingFacts, type ThingKind, thingFactsSchema, waySchema } from '#domain/thing.ts';
import { findContradictions } from '#domain/thing-facts.ts';
import { FIELDS, type FieldKey, type FieldRow } from './thing-fields.ts';

export interface DraftHome {
  /** Its row in the form. */
  readonly id: string;
  readonly way: string;
  readonly placeId: string;
  readonly number: string;
}
export interface Draft {
  readonly values: Readonly<Record<string, string>>;
  readonly homes: readonly DraftHome[];
}

/** What is wrong with a draft, by field; homes under "homes". */
export type DraftFaults = Readonly<Record<string, string>>;

const TICKED = 'yes';
export const isTicked = (text: string | undefined): boolean => text === TICKED;
export const tickText = (ticked: boolean): string => (ticked ? TICKED : '');

function digitsOf(currency: string): number {
  try {
    const format = new Intl.NumberFormat('en', { style: 'currency', currency });
    return format.resolvedOptions().maximumFractionDigits ?? 2;
  } catch {
    // Not a currency yet: somebody is typing it.
    return 2;
  }
}

const signHere =
  new Intl.NumberFormat().formatToParts(1.5).find(({ type }) => type === 'decimal')?.value === ','
    ? ','
    : '.';

const plainFormat = new Intl.NumberFormat(undefined, { maximumFractionDigits: 20, useGrouping: false });

function currencyOf(field: FieldRow, facts: Pick<ThingFacts, 'purchaseCurrency'>, outfit: string): string {
  const isOwn = field.kind.is === 'money' && field.kind.currency === null;
  return isOwn ? outfit : (facts.purchaseCurrency ?? outfit);
}

function textOf(field: FieldRow, facts: ThingFacts, currency: string): string {
  const value = facts[field.key];
  if (value === null) return '';
  if (typeof value === 'boolean') return tickText(value);
  if (typeof value === 'string') return value;
  if (field.kind.is !== 'money') return plainFormat.format(value);
  const digits = digitsOf(currencyOf(field, facts, currency));
  return new Intl.NumberFormat(undefined, { minimumFractionDigits: digits, useGrouping: false }).format(
    value / 10 ** digits,
  );
}

/** A home that is yet to be chosen. */
export const newHome = (way: string): DraftHome => ({
  id: crypto.randomUUID(),
  way,
  placeId: '',
  number: '1',
});

/** A draft that says what the facts say. `currency`: the outfit's own. */
export function draftOf(facts: ThingFacts, currency: string): Draft {
  const values = FIELDS.map((field) => [field.key, textOf(field, facts, currency)] as const);
  const homes = facts.homes.map(({ way, placeId, number }) => ({
    id: crypto.randomUUID(),
    way,
    placeId,
    number: String(number),
  }));
  return { values: Object.fromEntries(values), homes };
}

type Read = { readonly value: unknown } | { readonly fault: string };

/** A number as people here write it; with both signs, or one that can only be decimal, as it is written. */
function writtenNumber(text: string) {
  return readNumber(text, decimalSignOf(text) ?? signHere);
}

function readField(field: FieldRow, text: string, currency: string): Read {
  const trimmed = text.trim();
  if (field.kind.is === 'tick') return { value: isTicked(text) };
  if (field.key === 'name') return { value: trimmed };
  if (trimmed === '') return { value: null };
  if (field.key === 'country' || field.kind.is === 'currency') return { value: trimmed.toUpperCase() };
  const { is } = field.kind;
  if (is !== 'whole' && is !== 'decimal' && is !== 'money') return { value: is === 'long' ? text : trimmed };
  const written = writtenNumber(trimmed);
  if (written === null) return { fault: 'Write a number, such as 12 or 12.5.' };
  if (is !== 'money') return { value: toNumber(written) };
  const minor = readAmount(trimmed, currency);
  return minor === null
    ? { fault: `Write an amount with at most ${digitsOf(currency)} decimal places.` }
    : { value: minor };
}

/** An amount as people here write it, in the currency's minor unit; null where it is none, or finer than that. */
export function readAmount(text: string, currency: string): number | null {
  const written = writtenNumber(text.trim());
  const digits = digitsOf(currency);
  if (written === null || written.decimals.replace(/0+$/, '').length > digits) return null;
  return toMinor(written, digits);
}

function readHomes(homes: readonly DraftHome[], kind: ThingKind): Read {
  const read = homes.map(({ way, placeId, number }) => ({
    way: waySchema.safeParse(way).data,
    placeId: placeIdSchema.safeParse(placeId).data,
    number: kind === 'item' ? 1 : Number(number.trim() === '' ? Number.NaN : number),
  }));
  if (read.some((home) => home.placeId === undefined))
    return { fault: 'Choose the place where it lives, or take this home away.' };
  if (read.some(({ number }) => !Number.isInteger(number) || number < 1))
    return { fault: 'Say how many live there: a whole number of 1 or more.' };
  return { value: read };
}

const sentenceOf = (detail: string): string => {
  const text = detail.charAt(0).toUpperCase() + detail.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
};

/** The facts of a draft, or what is wrong with which field. */
export function factsOfDraft(
  draft: Draft,
  kind: ThingKind,
  currency: string,
): { readonly facts: ThingFacts } | { readonly faults: DraftFaults } {
  const faults: Record<string, string> = {};
  const values: Record<string, unknown> = {};
  const take = (key: string, read: Read) => {
    if ('fault' in read) faults[key] = read.fault;
    else values[key] = read.value;
  };
  const purchaseCurrency = draft.values.purchaseCurrency?.trim().toUpperCase() || null;
  for (const field of FIELDS)
    take(
      field.key,
      readField(field, draft.values[field.key] ?? '', currencyOf(field, { purchaseCurrency }, currency)),
    );
  take('homes', readHomes(draft.homes, kind));
  if (Object.keys(faults).length > 0) return { faults };
  const parsed = thingFactsSchema.safeParse(values);
  if (!parsed.success) {
    for (const { path, message } of parsed.error.issues) faults[String(path[0])] ??= sentenceOf(message);
    return { faults };
  }
  for (const { pointer, detail } of findContradictions(kind, parsed.data))
    faults[pointer.split('/')[1] ?? ''] ??= sentenceOf(detail);
  return Object.keys(faults).length > 0 ? { faults } : { facts: parsed.data };
}

/** The facts in which two versions differ, in the order of the form; homes last. */
export function differingKeys(a: ThingFacts, b: ThingFacts): readonly (FieldKey | 'homes')[] {
  const keys: readonly (FieldKey | 'homes')[] = [...FIELDS.map(({ key }) => key), 'homes'];
  return keys.filter((key) => JSON.stringify(sorted(a[key])) !== JSON.stringify(sorted(b[key])));
}

const sorted = (value: unknown): unknown =>
  Array.isArray(value) ? [...value].sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1)) : value;

/** One of two versions for each fact; `right` gives those that are named, `left` all others. */
export function mixFacts(left: ThingFacts, right: ThingFacts, fromRight: ReadonlySet<string>): ThingFacts {
  const entries = Object.entries(left).map(([key, value]) => [
    key,
    fromRight.has(key) ? Object.entries(right).find(([other]) => other === key)?.[1] : value,
  ]);
  return thingFactsSchema.strip().parse(Object.fromEntries(entries));
}
