// What somebody has chosen to change on many things, as the form holds it, and what that means.
import { thingSetSchema } from '#domain/thing-edit.ts';
import type { ManyEdit } from '../data/thing-edits.ts';

/** What can be changed, in the order of the form. */
export const BULK_FACTS = [
  ['class', 'class'],
  ['whose', 'whose'],
  ['home', 'lives in'],
  ['check', 'check at a wrap'],
  ['value', 'costs new'],
  ['country', 'made in'],
  ['maker', 'maker'],
  ['purchasedFrom', 'bought from'],
  ['faulty', 'no longer faulty'],
] as const;
export type BulkFact = (typeof BULK_FACTS)[number][0];

/** The texts of the fields; '' is "none" where a fact may be unknown. */
export type Texts = Readonly<Record<string, string>>;
export interface Draft {
  readonly facts: ReadonlySet<BulkFact>;
  readonly texts: Texts;
}

const orNull = (text: string | undefined): string | null => text?.trim() || null;

function valueSaid(texts: Texts, currency: string, digits: number): unknown {
  const common = { onDate: texts.onDate, source: (texts.source ?? '').trim() };
  const { how = 'percent', amount = '', percent = '' } = texts;
  if (how === 'amount')
    return { to: { minor: Math.round(Number(amount) * 10 ** digits), currency }, ...common };
  return { to: { permille: how === 'date' ? 0 : Math.round(Number(percent) * 10) }, ...common };
}

/** Each fact's part of the set. */
function partOf(fact: BulkFact, texts: Texts, money: { currency: string; digits: number }): object {
  switch (fact) {
    case 'class':
      return { classId: orNull(texts.class) };
    case 'whose': {
      const whose = texts.whose || 'ours';
      const isOurs = whose === 'ours';
      const owner = isOurs ? null : orNull(texts.owner);
      const [whoseFrom, whoseUntil] = isOurs ? [null, null] : [orNull(texts.from), orNull(texts.until)];
      return { whose: { whose, ownerPlaceId: owner, whoseFrom, whoseUntil } };
    }
    case 'home':
      return { home: { way: texts.way || 'driving', placeId: orNull(texts.home) } };
    case 'check':
      return { check: orNull(texts.check) };
    case 'country':
      return { country: orNull(texts.country)?.toUpperCase() ?? null };
    case 'maker':
      return { maker: orNull(texts.maker) };
    case 'purchasedFrom':
      return { purchasedFrom: orNull(texts.purchasedFrom) };
    case 'value':
      return { value: valueSaid(texts, money.currency, money.digits) };
    default:
      return {};
  }
}

// Of the parts that a person can fill in wrongly.
const WORD_OF_PART: Readonly<Record<string, string>> = {
  value: 'Costs new',
  country: 'Made in',
  whose: 'Whose',
};

/** What the draft means, or the first thing in it that cannot be so. */
export function readDraft(
  { facts, texts }: Draft,
  money: { readonly currency: string; readonly digits: number },
): { readonly edit: ManyEdit } | { readonly fault: string } {
  const whole = Object.assign({}, ...[...facts].map((fact) => partOf(fact, texts, money)));
  const clearsFaulty = facts.has('faulty');
  if (Object.keys(whole).length === 0)
    return clearsFaulty ? { edit: { set: null, clearsFaulty } } : { fault: 'Choose what to change.' };
  const set = thingSetSchema.safeParse(whole);
  if (set.success) return { edit: { set: set.data, clearsFaulty } };
  const [issue] = set.error.issues;
  return {
    fault: `${WORD_OF_PART[String(issue?.path[0])] ?? 'This'}: ${issue?.message ?? 'cannot be read'}`,
  };
}
