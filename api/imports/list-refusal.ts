// Every expected "no" to a list as a whole. What is wrong with single lines stands in the plan, beside the line.
import type { FieldFault } from '#domain/record.ts';
import type { DecodeRefusal } from './decode-file.ts';
import type { RowsRefusal } from './read-rows.ts';

export type ListRefusal =
  | DecodeRefusal
  | RowsRefusal
  | { readonly kind: 'no-outfit' }
  /** Two columns hold a fact of which a thing has one. */
  | { readonly kind: 'contradiction'; readonly fields: readonly FieldFault[] };
