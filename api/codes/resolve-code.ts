// Says what a code means: a thing, a place, one of several things, a tag with a mistake in it, or nothing yet.
import type postgres from 'postgres';
import { z } from 'zod';
import { type CodeRead, readCode, type ScannedText } from '#domain/scanned-text.ts';
import { showTag, type TagCode, tagCodeSchema } from '#domain/tag-code.ts';
import { codeKindSchema, readKnownTags, readTies, type Tie, tieSchema } from './store.ts';

export const candidateSchema = z.strictObject({
  code: z.string(),
  shown: z.string(),
  /** In use here, or waiting blank in a block. */
  known: z.boolean(),
  /** What it names; null for a blank one. */
  name: z.string().nullable(),
});
export type Candidate = z.infer<typeof candidateSchema>;

/**
 * thing, place: it names that. which-one: a product number (or a code on several things): ask which of `ties`. blank-tag:
 * a tag of a block that names nothing yet. unknown: nobody has tied it; `history` may say what it was. mistyped: see `candidates`.
 */
export const MEANINGS = ['thing', 'place', 'which-one', 'blank-tag', 'unknown', 'mistyped'] as const;

export const resolvedSchema = z.strictObject({
  /** As it is kept and looked up. */
  code: z.string(),
  shown: z.string(),
  kind: codeKindSchema,
  means: z.enum(MEANINGS),
  ties: z.array(tieSchema),
  history: z.array(tieSchema),
  candidates: z.array(candidateSchema),
});
export type Resolved = z.infer<typeof resolvedSchema>;

/** A tag with its dashes; any other code as it is. */
export function showCode(code: string): string {
  const tag = tagCodeSchema.safeParse(code);
  return tag.success ? showTag(tag.data) : code;
}

/** The candidates for a tag with a mistake, those in use first, with what they name. */
export async function readCandidates(tx: postgres.ISql, codes: readonly TagCode[]): Promise<Candidate[]> {
  const [known, ties] = [await readKnownTags(tx, codes), await readTies(tx, codes)];
  const nameOf = new Map(ties.filter((tie) => tie.until === null).map((tie) => [tie.code, tie.name]));
  const candidates = codes.map((code) => ({
    code,
    shown: showTag(code),
    known: known.has(code),
    name: nameOf.get(code) ?? null,
  }));
  return [
    ...candidates.filter((one) => one.name !== null),
    ...candidates.filter((one) => one.name === null && one.known),
    ...candidates.filter((one) => !one.known),
  ];
}

function meaningOf(current: readonly Tie[], isBlank: boolean): Resolved['means'] {
  const [first] = current;
  if (first === undefined) return isBlank ? 'blank-tag' : 'unknown';
  if (first.kind === 'gtin' || current.length > 1) return 'which-one';
  return first.thingId === null ? 'place' : 'thing';
}

/**
 * What the scanned text means here. The very text is asked for first, so that somebody else's code that happens to
 * have the form of a tag keeps meaning what it was tied to. `typed` says that a hand may have left the TC away.
 */
export async function resolveCode(tx: postgres.ISql, text: ScannedText, typed: boolean): Promise<Resolved> {
  const read: CodeRead = readCode(text, { typed });
  const ties = await readTies(tx, [...new Set([text, read.code])]);
  const exact = ties.filter((tie) => tie.code === text && tie.until === null);
  const current = exact.length > 0 ? exact : ties.filter((tie) => tie.until === null);
  const code = exact[0]?.code ?? read.code;
  if (read.kind === 'bad-check-characters' && current.length === 0) {
    const candidates = await readCandidates(tx, read.candidates);
    return { code, shown: text, kind: 'foreign', means: 'mistyped', ties: [], history: ties, candidates };
  }
  const isBlank = read.kind === 'tag' && (await readKnownTags(tx, [read.code])).has(read.code);
  const kind = current[0]?.kind ?? (read.kind === 'bad-check-characters' ? 'foreign' : read.kind);
  return {
    code,
    shown: showCode(code),
    kind,
    means: meaningOf(current, isBlank),
    ties: [...current],
    history: ties.filter((tie) => tie.until !== null),
    candidates: [],
  };
}
