// The codes of a thing at the desk: what a typed code means now, putting it onto the thing, taking it off.
import { z } from 'zod';
import { ask } from './ask.ts';

const tieSchema = z.looseObject({
  thingId: z.string().nullable(),
  placeId: z.string().nullable(),
  name: z.string(),
});
const meaningSchema = z.looseObject({
  code: z.string(),
  shown: z.string(),
  kind: z.enum(['tag', 'foreign', 'gtin']),
  means: z.enum(['thing', 'place', 'which-one', 'blank-tag', 'unknown', 'mistyped']),
  ties: z.array(tieSchema),
  candidates: z.array(z.looseObject({ code: z.string(), shown: z.string(), name: z.string().nullable() })),
});
export type Meaning = z.infer<typeof meaningSchema>;

const addressOf = (code: string): string => `/api/codes/${encodeURIComponent(code)}`;

/** What the text means, typed by hand: the letters before a tag may be missing, dashes and spaces stand anywhere. */
export const askMeaning = (text: string) => ask(`${addressOf(text)}?typed=true`, meaningSchema);

/** Whose the code is now, where it is somebody else's than this thing's and can mean one thing only. */
export function elsewhere(
  meaning: Meaning,
  thingId: string,
): { readonly id: string; readonly name: string } | null {
  if (meaning.kind === 'gtin') return null;
  const tie = meaning.ties.find((one) => one.thingId !== thingId);
  return tie === undefined ? null : { id: tie.thingId ?? tie.placeId ?? '', name: tie.name };
}

/** Puts the code onto the thing; `takeFrom` names what it is taken from. */
export const putCode = (code: string, thingId: string, takeFrom: string | null = null) =>
  ask(addressOf(code), z.unknown(), { method: 'PUT', body: { thingId, takeFrom } });

export const takeOffCode = (code: string, thingId: string) =>
  ask(`${addressOf(code)}?from=${thingId}`, z.unknown(), { method: 'DELETE' });
