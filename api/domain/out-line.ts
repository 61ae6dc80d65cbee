// One line of the still-out-there list as the desk reads it: what the phone's list says, and what one needs to act on it.
import { z } from 'zod';
import { askingSchema } from './asking.ts';
import { placeIdSchema } from './ids.ts';
import { OUT_REASONS, stillOutLineSchema } from './still-out.ts';
import { dateSchema, moneySchema } from './thing.ts';

/** A thing that is not ours and was due back is on the list although nothing else is wrong with it. */
export const DESK_OUT_REASONS = [...OUT_REASONS, 'overdue'] as const;

export const outLineSchema = stillOutLineSchema.extend({
  why: z.enum(DESK_OUT_REASONS),
  maker: z.string().nullable(),
  model: z.string().nullable(),
  serial: z.string().nullable(),
  /** Where it lives when driving; null where nobody said. */
  homeId: placeIdSchema.nullable(),
  /** Whose it is, for what is not ours. */
  ownerPlaceId: placeIdSchema.nullable(),
  /** When it has to be back with its owner; null where there is no such date. */
  dueOn: dateSchema.nullable(),
  /** What buying as many of it again costs; null where that is not known, or not for this reader. */
  value: moneySchema.nullable(),
  /** The last time that somebody was asked for it. */
  asked: askingSchema.pick({ at: true, whom: true, way: true }).nullable(),
});
export type OutLine = z.infer<typeof outLineSchema>;

/** The sum of what is known, by currency, and how many lines it does not hold because nothing is known of them. */
export interface OutSums {
  readonly lines: number;
  readonly sums: readonly { readonly minor: number; readonly currency: string }[];
  readonly unknown: number;
}

/** Adds lines up. Different currencies are never added to each other; they come in the order of their codes. */
export function sumOut(lines: readonly Pick<OutLine, 'value'>[]): OutSums {
  const byCurrency = new Map<string, number>();
  let unknown = 0;
  for (const { value } of lines) {
    if (value === null) unknown += 1;
    else byCurrency.set(value.currency, (byCurrency.get(value.currency) ?? 0) + value.minor);
  }
  const sums = [...byCurrency].map(([currency, minor]) => ({ minor, currency }));
  return { lines: lines.length, sums: sums.sort((a, b) => (a.currency < b.currency ? -1 : 1)), unknown };
}

/** Bounds of the groups by age, in whole days: the first is under a day, the last has no end. */
export const AGES = ['under-a-day', 'week', 'month', 'longer', 'not-known'] as const;
export type Age = (typeof AGES)[number];
const WEEK_DAYS = 7;
const MONTH_DAYS = 30;

/** How long it has been out: under a day, up to 7 days, up to 30 days, or longer. */
export function ageOf(days: number | null): Age {
  if (days === null) return 'not-known';
  if (days < 1) return 'under-a-day';
  if (days <= WEEK_DAYS) return 'week';
  return days <= MONTH_DAYS ? 'month' : 'longer';
}
