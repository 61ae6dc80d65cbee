// The only table from a refusal to an HTTP problem (RFC 9457). A kind without a row does not compile.
import type { BackupRefusal } from '#domain/backup.ts';
import type { CodeRefusal } from '../codes/code-refusal.ts';
import type { ListRefusal } from '../imports/list-refusal.ts';
import type { KeepRefusal } from '../record/keep.ts';

/** A field at fault: an RFC 6901 pointer into the request, and what is wrong with it. */
export interface FieldProblem {
  readonly pointer: string;
  readonly detail: string;
}

/** What the service refuses before any capability is asked. */
export type HttpRefusal =
  | { readonly kind: 'invalid-request'; readonly fields: readonly FieldProblem[] }
  | { readonly kind: 'unreadable-body'; readonly detail: string }
  | { readonly kind: 'body-too-large'; readonly bytesMax: number }
  | { readonly kind: 'unsupported-type'; readonly expected: string }
  | { readonly kind: 'no-such-address' }
  | { readonly kind: 'method-not-allowed'; readonly allow: readonly string[] }
  | { readonly kind: 'if-match-missing' }
  | { readonly kind: 'foreign-host' }
  | { readonly kind: 'foreign-origin' }
  | { readonly kind: 'database-down' }
  | { readonly kind: 'not-acceptable-request'; readonly status: number }
  | { readonly kind: 'internal'; readonly requestId: string };

/** Refusals of the feed, of counts and of the demo outfit. */
export type ReadingRefusal =
  | { readonly kind: 'cursor-unknown' }
  | { readonly kind: 'not-empty' }
  | { readonly kind: 'lines-open'; readonly open: number; readonly compartments: number };

export type Refusal = KeepRefusal | HttpRefusal | ReadingRefusal | CodeRefusal | ListRefusal | BackupRefusal;

export interface ProblemRow {
  readonly status: number;
  readonly title: string;
}

export const PROBLEMS = {
  'invalid-request': {
    status: 400,
    title: 'Something in the request is not as it must be. Correct the fields named here.',
  },
  'unreadable-body': { status: 400, title: 'The body of the request cannot be read. Send JSON in UTF-8.' },
  'body-too-large': { status: 413, title: 'The body of the request is too large. Send it in smaller parts.' },
  'unsupported-type': { status: 415, title: 'The body is of a type that is not taken here.' },
  'no-such-address': { status: 404, title: 'There is nothing at this address.' },
  'method-not-allowed': { status: 405, title: 'This address does not take that method.' },
  'if-match-missing': {
    status: 428,
    title: 'Say which version you edited: read the record, and send its ETag in If-Match.',
  },
  'foreign-host': { status: 421, title: 'This service answers only under its own address.' },
  'foreign-origin': { status: 403, title: 'This service takes requests only from its own pages.' },
  'database-down': {
    status: 503,
    title: 'The database does not answer at the moment. Try again in a few seconds; nothing is lost.',
  },
  'not-acceptable-request': { status: 400, title: 'The request cannot be understood.' },
  internal: {
    status: 500,
    title: 'Something went wrong in the service. The details are in its log, under this request’s id.',
  },
  'not-found': { status: 404, title: 'There is no such record.' },
  'version-moved': {
    status: 412,
    title: 'Somebody changed this record meanwhile. Read it again, then make your change.',
  },
  contradiction: { status: 422, title: 'These facts cannot be true together. Correct one of them.' },
  'unknown-reference': {
    status: 422,
    title: 'The request names something that this outfit does not have. Make it first.',
  },
  'id-reused': { status: 409, title: 'This id already belongs to something else. Make a new id.' },
  'name-taken': { status: 409, title: 'That name is taken here. Choose another.' },
  'inside-itself': { status: 422, title: 'Nothing can be inside itself.' },
  'parent-is-fixed': {
    status: 409,
    title: 'This place cannot move any more, because the ledger refers to it. Make a new place.',
  },
  'moves-as-a-thing': {
    status: 409,
    title: 'This place is a thing that moves. Change the thing, or write a movement.',
  },
  'still-in-use': { status: 409, title: 'This is still in use. Move what refers to it first.' },
  'already-written-off': { status: 409, title: 'This has been written off already.' },
  'merge-into-itself': {
    status: 422,
    title: 'This is one entry, not two. Name the other entry that is the same thing.',
  },
  'merged-already': {
    status: 409,
    title: 'This entry was merged into another one. Use that one, or take the merge back first.',
  },
  'others-merged-into-it': {
    status: 409,
    title: 'Other entries were merged into this one. Merge the other way round, so that this one stays.',
  },
  'not-alike': {
    status: 422,
    title: 'These two entries cannot be one thing. Correct what is named here first.',
  },
  'bad-check-characters': {
    status: 422,
    title:
      'This is a tag with a mistake in it. Compare it with the label; the tags that may be meant are named here.',
  },
  'not-a-tag': { status: 422, title: 'This is no tag of ours, so it has no label.' },
  'code-in-use': {
    status: 409,
    title: 'This code names something else just now. To take it from there, say so by its id in takeFrom.',
  },
  'code-not-in-use': { status: 404, title: 'This code is not on that thing or place.' },
  'not-a-list': {
    status: 415,
    title: 'This is no list of text. Save it from the spreadsheet as CSV, and send that.',
  },
  'quote-not-closed': {
    status: 422,
    title: 'A quotation mark opens a cell in this row and nothing closes it. Correct it in the list.',
  },
  'too-many-rows': { status: 413, title: 'This list has too many rows. Bring it in in parts of 50,000.' },
  'too-wide': {
    status: 422,
    title: 'A row of this list has over 200 cells. Take columns out, or look what separates them.',
  },
  'empty-list': { status: 422, title: 'There is nothing in this list.' },
  'not-a-picture': { status: 415, title: 'This is not a picture. Send JPEG, PNG or WebP.' },
  'no-outfit': { status: 404, title: 'There is no outfit yet. Name it first, or load the demo outfit.' },
  'cursor-unknown': {
    status: 410,
    title:
      'This place in the feed is not known. Read the catalogue again, and send your own movements of the last 60 days.',
  },
  'not-empty': {
    status: 409,
    title:
      'There is something in this database already. The demo outfit needs an empty one: start with another data folder.',
  },
  'folder-unusable': {
    status: 422,
    title: 'Nothing can be written to that folder. Look whether it is there, or name another one.',
  },
  'no-backup-folder': {
    status: 409,
    title: 'No folder is named for backups yet. Name one first: a synced folder, a stick, another disk.',
  },
  'backup-running': { status: 409, title: 'A backup is being made just now. Wait until it is done.' },
  'lines-open': { status: 409, title: 'This count still has open lines or compartments without an answer.' },
} satisfies Record<Refusal['kind'], ProblemRow>;

export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly [fact: string]: unknown;
}

/** The problem of a refusal: its row, and its facts beside it (`fields` as `errors`). */
export function problemOf(refusal: Refusal): Problem {
  const { kind, ...facts } = refusal;
  const row: ProblemRow = PROBLEMS[kind];
  const { fields, ...others } = 'fields' in facts ? facts : { ...facts, fields: undefined };
  const status = refusal.kind === 'not-acceptable-request' ? refusal.status : row.status;
  return {
    ...others,
    type: `/problems/${kind}`,
    title: row.title,
    status,
    ...(fields ? { errors: fields } : {}),
  };
}
