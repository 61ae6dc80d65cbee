// Why a write to the record (things, places, classes, stops and the rest) is refused.

/** A field of the request, as an RFC 6901 pointer, and what is wrong with it in words a person can act on. */
export interface FieldFault {
  readonly pointer: string;
  readonly detail: string;
}

/** Every expected "no" of the record. A kind's sentence and status stand in api/http/problem.ts. */
export type RecordRefusal =
  /** Fields that are right by themselves and cannot be true together. */
  | { readonly kind: 'contradiction'; readonly fields: readonly FieldFault[] }
  /** Fields that name something this outfit does not have. */
  | { readonly kind: 'unknown-reference'; readonly fields: readonly FieldFault[] }
  /** The id is already somebody else's, or the same id came before with other content. */
  | { readonly kind: 'id-reused'; readonly id: string }
  | { readonly kind: 'name-taken'; readonly name: string }
  /** A place inside itself, a class below itself, a thing built on itself, directly or through others. */
  | { readonly kind: 'inside-itself'; readonly pointer: string }
  /** A fixed place's parent never changes once movements refer to it or below it (law 7). */
  | { readonly kind: 'parent-is-fixed'; readonly id: string }
  /** A vehicle or a container is a thing: what it is called and where it is are the thing's. */
  | { readonly kind: 'moves-as-a-thing'; readonly id: string }
  /** It can't stop being a place while gear, homes or history refer to it. */
  | { readonly kind: 'still-in-use'; readonly id: string }
  | { readonly kind: 'already-written-off'; readonly id: string }
  /** Two entries are to become one, and are one and the same entry. */
  | { readonly kind: 'merge-into-itself'; readonly id: string }
  /** This entry was merged into another one. */
  | { readonly kind: 'merged-already'; readonly id: string }
  /** Other entries were merged into this one, so it is the one that stays. */
  | { readonly kind: 'others-merged-into-it'; readonly id: string }
  /** What two entries say of themselves shows that they are two things. */
  | { readonly kind: 'not-alike'; readonly fields: readonly FieldFault[] }
  | { readonly kind: 'not-a-picture' }
  | { readonly kind: 'no-outfit' };
