// The still-out-there list as the service answers it, and what the desk does about its lines: each deed gives back how to
// take it back.
import { z } from 'zod';
import { type AskingFacts, askingSchema } from '#domain/asking.ts';
import type { Fact } from '#domain/count-answers.ts';
import { goneForGood, isMissingPieces } from '#domain/found-again.ts';
import { MOVEMENTS_PER_BATCH_MAX, type Movement } from '#domain/movement.ts';
import { type OutLine, outLineSchema } from '#domain/out-line.ts';
import { partySchema } from '#domain/party.ts';
import { type WriteOffFacts, writeOffSchema } from '#domain/worth.ts';
import { type Asked, ask, type Refused } from './ask.ts';
import { type Told, useAnswer } from './use-answer.ts';
import { voidOf, writeFacts } from './write.ts';

const listSchema = z.strictObject({
  seesValues: z.boolean(),
  lines: z.array(outLineSchema),
  parties: z.array(partySchema),
});
export type StillOutList = z.infer<typeof listSchema>;

export const useStillOut = (): Told<StillOutList> => useAnswer('/api/still-out', listSchema);

/** What was done, in words, and how to take it back; or why it was not done. */
export interface Done {
  readonly ok: true;
  readonly words: string;
  readonly undo: () => Promise<Refused | null>;
}
export type Deed = Done | Refused;

/** As many at once as one request may hold; what was written before a refusal stands. */
async function writeInParts(facts: readonly Fact[]): Promise<Asked<readonly Movement[]>> {
  const lines: Movement[] = [];
  for (let from = 0; from < facts.length; from += MOVEMENTS_PER_BATCH_MAX) {
    const written = await writeFacts(facts.slice(from, from + MOVEMENTS_PER_BATCH_MAX));
    if (!written.ok) return written;
    lines.push(...written.body);
  }
  return { ok: true, body: lines, version: null };
}

/** Writes facts; taking them back writes a void for each, the last first. */
export async function doFacts(facts: readonly Fact[], words: string): Promise<Deed> {
  const written = await writeInParts(facts);
  if (!written.ok) return written;
  const undo = async () => {
    const undone = await writeInParts(
      written.body
        .filter(({ kind }) => kind !== 'void')
        .map(voidOf)
        .reverse(),
    );
    return undone.ok ? null : undone;
  };
  return { ok: true, words, undo };
}

/** Keeps for each of the lines that somebody was asked. The first refusal ends it. */
export async function keepAskings(
  lines: readonly OutLine[],
  asked: Omit<AskingFacts, 'thingId' | 'lineId'>,
): Promise<Refused | null> {
  for (const { thingId, lineId } of lines) {
    const path = `/api/askings/${crypto.randomUUID()}`;
    const answer = await ask(path, askingSchema, { method: 'PUT', body: { ...asked, thingId, lineId } });
    if (!answer.ok) return answer;
  }
  return null;
}

export interface WrittenOff {
  readonly reason: WriteOffFacts['reason'];
  readonly onDate: string;
  readonly note: string | null;
  /** For one line of counted gear: how many of it; else all of each line. */
  readonly number: number | null;
}

const goneSchema = z.strictObject({ id: z.string() });

async function takeBack(ids: readonly string[], back: readonly Fact[]): Promise<Refused | null> {
  for (const id of ids) {
    const gone = await ask(`/api/write-offs/${id}`, goneSchema, { method: 'DELETE' });
    if (!gone.ok && gone.status !== 404) return gone;
  }
  if (back.length === 0) return null;
  const undone = await writeFacts(back);
  return undone.ok ? null : undone;
}

/** Writes lines off one after the other. When one is refused, those before it stand and the sentence says which it was. */
export async function writeOffLines(
  lines: readonly OutLine[],
  said: WrittenOff,
  words: string,
): Promise<Deed> {
  const { number, ...rest } = said;
  const ids: string[] = [];
  const back: Fact[] = [];
  for (const line of lines) {
    const id = crypto.randomUUID();
    const gone = number ?? line.number;
    const lineId = isMissingPieces(line) ? line.lineId : null;
    const body = { id, thingId: line.thingId, number: gone, lineId, ...rest };
    const made = await ask('/api/write-offs', writeOffSchema, { method: 'POST', body });
    if (!made.ok) return { ...made, sentence: `${line.name}: ${made.sentence}` };
    ids.push(id);
    const facts = goneForGood(line, gone);
    const written = facts.length === 0 ? null : await writeFacts(facts);
    if (written?.ok === false) return written;
    if (written !== null) back.unshift(...written.body.map(voidOf));
  }
  return { ok: true, words, undo: () => takeBack(ids, back) };
}
