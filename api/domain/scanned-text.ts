// What a camera, a reader or a keyboard gives, before anybody knows what it means, and the code that it is.
import { z } from 'zod';
import { gtin14Of } from './gtin.ts';
import { parseTag, parseTypedTag, type TagCode, type TagReading } from './tag-code.ts';

const LENGTH_MAX = 200;
// A reader ends a code with Enter or Tab, and GS1 codes hold separators (FNC1 is sent as 1D).
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is taken off.
const CONTROLS = /[\u0000-\u001f\u007f]/g;
/** GTINs of 8 digits are left out: makers' serial numbers of 8 digits pass the check digit once in ten. */
const GTIN_ONLY_WHEN_SAID_LENGTH = 8;

export const scannedTextSchema = z
  .string()
  .max(LENGTH_MAX, `a code has at most ${LENGTH_MAX} characters`)
  .transform((text) => text.replace(CONTROLS, '').trim())
  .refine((text) => text !== '', 'holds no character that can be read')
  .refine((text) => !/\p{Surrogate}/u.test(text), 'holds a character that cannot be kept')
  .brand<'ScannedText'>();
export type ScannedText = z.infer<typeof scannedTextSchema>;

/** Takes off what a reader adds around a code. Null where nothing readable is left, or far too much. */
export function parseScannedText(text: string): ScannedText | null {
  const parsed = scannedTextSchema.safeParse(text);
  return parsed.success ? parsed.data : null;
}

export type CodeKind = 'tag' | 'foreign' | 'gtin';

/** What a scanned text is: the code under which it is kept and looked up, and of what kind. */
export type CodeRead =
  | { readonly kind: 'tag'; readonly code: TagCode }
  | { readonly kind: 'gtin'; readonly code: string }
  | { readonly kind: 'foreign'; readonly code: string }
  | {
      readonly kind: 'bad-check-characters';
      readonly code: string;
      readonly candidates: readonly TagCode[];
    };

export type ReadCodeOptions = {
  /** Typed by hand: the TC may have been left away. */
  readonly typed?: boolean;
  /** Which tags are in use; they lead the candidates. */
  readonly known?: (code: TagCode) => boolean;
};

/**
 * Decides, in this order: a tag of ours · the form of a tag with wrong check characters · a GTIN of 12 to 14 digits ·
 * anybody else's code, kept as read. Whoever looks codes up asks first whether the very text is known: somebody else's
 * code may happen to have the form of ours.
 */
export function readCode(text: ScannedText, options: ReadCodeOptions = {}): CodeRead {
  const known = options.known ?? (() => false);
  const reading: TagReading = options.typed === true ? parseTypedTag(text, known) : parseTag(text, known);
  if ('tag' in reading) return { kind: 'tag', code: reading.tag };
  if (reading.refusal.kind === 'bad-check-characters') {
    return { kind: 'bad-check-characters', code: text, candidates: reading.refusal.candidates };
  }
  const gtin = text.length === GTIN_ONLY_WHEN_SAID_LENGTH ? null : gtin14Of(text);
  return gtin === null ? { kind: 'foreign', code: text } : { kind: 'gtin', code: gtin };
}
