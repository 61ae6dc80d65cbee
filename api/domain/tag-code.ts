// The code on a tag of ours: "TC", six characters drawn at random, two check characters. Printed without dashes
// (TC7K3M9Q4X), shown with them (TC-7K3M9Q-4X).
import { z } from 'zod';
import { checkCharactersOf, hasRightCheckCharacters } from './check-characters.ts';

/** 32 characters without look-alikes (no I, L, O, U): what is read as one of those means 1, 1 or 0. */
export const TAG_ALPHABET = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';
const PREFIX = 'TC';
const PAYLOAD_LENGTH = 6;
const CHECK_LENGTH = 2;
const TAG_LENGTH = PREFIX.length + PAYLOAD_LENGTH + CHECK_LENGTH;
const BITS_PER_CHARACTER = 5;
const BYTES_PER_DRAW = 4;
const WRITTEN_LENGTH_MAX = 40;

const OF_ALPHABET = new RegExp(`^[${TAG_ALPHABET}]*$`);

function isTag(code: string): boolean {
  return (
    code.length === TAG_LENGTH &&
    code.startsWith(PREFIX) &&
    OF_ALPHABET.test(code) &&
    hasRightCheckCharacters(code)
  );
}

/** A tag's code as it is kept and printed: upper case, no dashes, check characters right. */
export const tagCodeSchema = z
  .string()
  .refine(isTag, 'must be a tag code with right check characters')
  .brand<'TagCode'>();
export type TagCode = z.infer<typeof tagCodeSchema>;

/**
 * not-a-tag: does not have the form of our tags, so it may be anybody else's code.
 * bad-check-characters: has the form but was misread or mistyped; `read` is it without dashes, `candidates` are the
 * valid tags that one slip explains, the most likely first (see `candidatesFor`).
 */
export type TagRefusal =
  | { readonly kind: 'not-a-tag' }
  | { readonly kind: 'bad-check-characters'; readonly read: string; readonly candidates: readonly TagCode[] };
export type TagReading = { readonly tag: TagCode } | { readonly refusal: TagRefusal };

const DASHES_AND_BLANKS = /[\s\-‐‑‒–—_.]/gu;

/** The same writing for every way to write a tag: upper case, no dashes or blanks, I and L as 1, O as 0. */
function plainWriting(text: string): string {
  const written = text.normalize('NFKC').replace(DASHES_AND_BLANKS, '').toUpperCase();
  return written.replaceAll('I', '1').replaceAll('L', '1').replaceAll('O', '0');
}

function asTag(code: string): TagCode | null {
  const parsed = tagCodeSchema.safeParse(code);
  return parsed.success ? parsed.data : null;
}

/**
 * Reads a scanned or typed text as a tag. Dashes, blanks, lower case and the look-alikes I, L, O are accepted.
 * A text that begins with TC (or CT, a swap) and is one character too short, right or one too long has the form of a
 * tag; everything else is refused as not-a-tag. `known` says which tags are in use, so that these lead the candidates.
 */
export function parseTag(text: string, known: (code: TagCode) => boolean = () => false): TagReading {
  if (text.length > WRITTEN_LENGTH_MAX) return { refusal: { kind: 'not-a-tag' } };
  const read = plainWriting(text);
  const tag = asTag(read);
  if (tag !== null) return { tag };
  const hasForm =
    /^(TC|CT)/.test(read) && Math.abs(read.length - TAG_LENGTH) <= 1 && /^[0-9A-Z]*$/.test(read);
  if (!hasForm) return { refusal: { kind: 'not-a-tag' } };
  return { refusal: { kind: 'bad-check-characters', read, candidates: candidatesFor(read, known) } };
}

/**
 * As `parseTag`, for a text typed by hand: people leave the TC away. Eight characters are tried with TC before
 * them; a scanned code must not be, or one in 1,271 of other people's codes of eight would pass for a tag of ours.
 */
export function parseTypedTag(text: string, known: (code: TagCode) => boolean = () => false): TagReading {
  const whole = parseTag(text, known);
  if ('tag' in whole || whole.refusal.kind !== 'not-a-tag') return whole;
  const read = plainWriting(text);
  const withoutPrefix = TAG_LENGTH - PREFIX.length;
  return read.length === withoutPrefix ? parseTag(`${PREFIX}${read}`, known) : whole;
}

function* changesOf(read: string): Generator<string> {
  for (let at = 0; at < read.length; at += 1) {
    for (const character of TAG_ALPHABET) yield read.slice(0, at) + character + read.slice(at + 1);
  }
}

function* swapsOf(read: string): Generator<string> {
  for (let at = 0; at + 1 < read.length; at += 1) {
    yield read.slice(0, at) + read.charAt(at + 1) + read.charAt(at) + read.slice(at + 2);
  }
}

function* insertionsOf(read: string): Generator<string> {
  for (let at = 0; at <= read.length; at += 1) {
    for (const character of TAG_ALPHABET) yield read.slice(0, at) + character + read.slice(at);
  }
}

function* omissionsOf(read: string): Generator<string> {
  for (let at = 0; at < read.length; at += 1) yield read.slice(0, at) + read.slice(at + 1);
}

function slipsOf(read: string): Iterable<string> {
  if (read.length < TAG_LENGTH) return insertionsOf(read);
  if (read.length > TAG_LENGTH) return omissionsOf(read);
  return (function* () {
    yield* swapsOf(read);
    yield* changesOf(read);
  })();
}

/**
 * The valid tags that one slip explains: one wrong character or one swap of neighbours; for a text that is one
 * too short or too long, one character lost or one too many. Those that `known` knows come first, and within that
 * swaps before changes, from the left. Written as `parseTag` accepts it. Empty where no single slip explains it.
 */
export function candidatesFor(mistyped: string, known: (code: TagCode) => boolean): readonly TagCode[] {
  const read = plainWriting(mistyped);
  if (Math.abs(read.length - TAG_LENGTH) > 1) return [];
  const valid = [...new Set(slipsOf(read))].flatMap((slip) => asTagOfForm(slip) ?? []);
  return [...valid.filter((code) => known(code)), ...valid.filter((code) => !known(code))];
}

// The cheap test first: most slips of a tag have wrong check characters.
function asTagOfForm(code: string): TagCode | null {
  return isTag(code) ? asTag(code) : null;
}

/**
 * A new tag from random bytes of the caller, four for each draw; null where the bytes run out (draw again with
 * others). About one draw in five is passed over because its check characters are outside the alphabet. Whether
 * the code was given out before is for the caller's unique index to say: 2^30 payloads.
 */
export function makeTag(random: Uint8Array): TagCode | null {
  for (let at = 0; at + BYTES_PER_DRAW <= random.length; at += BYTES_PER_DRAW) {
    const number = new DataView(random.buffer, random.byteOffset + at, BYTES_PER_DRAW).getUint32(0);
    const start = `${PREFIX}${payloadOf(number)}`;
    const tag = asTagOfForm(`${start}${checkCharactersOf(start)}`);
    if (tag !== null) return tag;
  }
  return null;
}

function payloadOf(number: number): string {
  let payload = '';
  for (let at = 0; at < PAYLOAD_LENGTH; at += 1) {
    payload += TAG_ALPHABET.charAt((number >>> (at * BITS_PER_CHARACTER)) & (TAG_ALPHABET.length - 1));
  }
  return payload;
}

/** The tag as people read it: TC-7K3M9Q-4X. */
export function showTag(tag: TagCode): string {
  return [
    tag.slice(0, PREFIX.length),
    tag.slice(PREFIX.length, -CHECK_LENGTH),
    tag.slice(-CHECK_LENGTH),
  ].join('-');
}
