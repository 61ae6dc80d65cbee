// Asking somebody for what is still out there: the words of the message, and the fact that it was asked.
import { z } from 'zod';
import { movementIdSchema, placeIdSchema, plainIdSchema, thingIdSchema } from './ids.ts';
import { cleanText } from './movement.ts';

export const ASKING_WAYS = ['message', 'e-mail', 'call', 'in-person'] as const;
export const SAID_MAX = 4_000;

/** That somebody was asked for a thing: whom, by which way, in which words. `lineId` is the line that had it out there. */
export const askingFactsSchema = z.strictObject({
  thingId: thingIdSchema,
  whom: cleanText(300).min(1, 'say who was asked'),
  way: z.enum(ASKING_WAYS),
  said: cleanText(SAID_MAX),
  partyId: placeIdSchema.nullable(),
  lineId: movementIdSchema.nullable(),
});
export type AskingFacts = z.infer<typeof askingFactsSchema>;
/** `at`: when the service was told, UTC ms. */
export const askingSchema = askingFactsSchema.extend({ id: plainIdSchema, at: z.int() });
export type Asking = z.infer<typeof askingSchema>;

/** One thing of a message, in words: where and when are already written as the reader of the message writes them. */
export interface AskedThing {
  readonly name: string;
  /** 1 is not said. */
  readonly number: number;
  /** Maker, model, serial: what tells it from another. */
  readonly facts: readonly string[];
  readonly where: string | null;
  readonly when: string | null;
}

/**
 * A short message that can be sent as it is: what is asked for, where it was last put down, and when. No sum of money
 * and no blame. Cut at `SAID_MAX` characters, between two things where it can be.
 */
export function askingText(things: readonly AskedThing[], outfitName: string): string {
  const opening = things.length === 1 ? 'We are looking for this:' : 'We are looking for these:';
  const closing = `Do you have ${things.length === 1 ? 'it' : 'any of them'}, or know where to look?\n${outfitName}`;
  const lines: string[] = [];
  let length = opening.length + closing.length + 2;
  for (const thing of things) {
    const line = lineOf(thing);
    if (length + line.length + 1 > SAID_MAX - 40) {
      lines.push(`- and ${things.length - lines.length} more`);
      break;
    }
    lines.push(line);
    length += line.length + 1;
  }
  return [opening, ...lines, closing].join('\n').slice(0, SAID_MAX);
}

function lineOf({ name, number, facts, where, when }: AskedThing): string {
  const what = `${number === 1 ? '' : `${number} × `}${name}${facts.length === 0 ? '' : ` (${facts.join(', ')})`}`;
  const last = [where, when].filter((part) => part !== null).join(', ');
  return last === '' ? `- ${what}` : `- ${what}: last put down ${last}`;
}
