// Every expected "no" of codes and tags. Their sentences stand in api/http/problem.ts.
import type { FieldFault } from '#domain/record.ts';

export type CodeRefusal =
  /** The form of a tag with a mistake in it; `candidates` are the tags that one slip explains, known ones first. */
  | { readonly kind: 'bad-check-characters'; readonly code: string; readonly candidates: readonly string[] }
  /** Nothing in it can be read, or the tag has no label because it is no tag of ours. */
  | { readonly kind: 'not-a-tag'; readonly code: string }
  /** It names something else just now; `takeFrom` must name that to take the code from it. */
  | { readonly kind: 'code-in-use'; readonly code: string; readonly by: string }
  | { readonly kind: 'code-not-in-use'; readonly code: string }
  /** The block was made before, with another number of tags. */
  | { readonly kind: 'id-reused'; readonly id: string }
  | { readonly kind: 'unknown-reference'; readonly fields: readonly FieldFault[] }
  | { readonly kind: 'contradiction'; readonly fields: readonly FieldFault[] };
