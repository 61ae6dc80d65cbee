// Records what devices wrote down: every line gets an answer of its own, and one bad line never loses the good ones.
import { isDeepStrictEqual } from 'node:util';
import type postgres from 'postgres';
import type { EffectiveTime } from '#domain/clock.ts';
import { type Batch, type LineAnswer, type Movement, movementSchema } from '#domain/movement.ts';
import { decide, type Tx } from '../database/decide.ts';
import { faultsOf } from '../http/route.ts';
import { type Clocks, openClocks, timeByClocks } from './effective-time.ts';
import { type KnownRefs, lockRefs } from './line-refs.ts';
import { type Stored, storeLines } from './store-lines.ts';

interface ParsedLine {
  readonly index: number;
  readonly line: Movement;
}
interface Known {
  readonly body: unknown;
  readonly at: number;
  readonly timeUncertain: boolean;
  readonly waitsFor: Extract<LineAnswer, { answer: 'waiting' }>['waitsFor'] | null;
  readonly ref: string | null;
}
type Answers = (LineAnswer | undefined)[];

const plainIdOf = (value: unknown): string | null =>
  typeof value === 'object' && value !== null && 'id' in value && typeof value.id === 'string'
    ? value.id.slice(0, 60)
    : null;

function parseLines(batch: Batch, answers: Answers): readonly ParsedLine[] {
  return batch.movements.flatMap((raw, index) => {
    const parsed = movementSchema.safeParse(raw);
    if (parsed.success) return [{ index, line: parsed.data }];
    const fields = faultsOf('', parsed.error)
      .slice(0, 20)
      .map(({ pointer, detail }) => ({ pointer, detail }));
    const detail =
      'This line can never mean anything. It is kept on the device, in the drawer of lines that a person empties.';
    answers[index] = { answer: 'refused', id: plainIdOf(raw), index, kind: 'malformed', detail, fields };
    return [];
  });
}

async function readKnown(tx: postgres.ISql, ids: readonly string[]): Promise<ReadonlyMap<string, Known>> {
  const rows = await tx<(Known & { id: string })[]>`
    select id, body, at, time_uncertain as "timeUncertain", null as "waitsFor", null as ref
    from movement where id = any(${ids}::uuid[])
    union all
    select id, body, at, time_uncertain, waits_for, ref from movement_waiting where id = any(${ids}::uuid[])`;
  return new Map(rows.map((row) => [row.id, row]));
}

function answerKnown({ index, line }: ParsedLine, known: Known): LineAnswer {
  const { at, timeUncertain, waitsFor, ref } = known;
  // Parsed again, so that a field that got a default since compares as what it meant.
  if (!isDeepStrictEqual(movementSchema.parse(known.body), line)) {
    const detail = 'Another line with this id is in the ledger. A new line needs a new id.';
    return {
      answer: 'refused',
      id: line.id,
      index,
      kind: 'id-reused',
      detail,
      fields: [{ pointer: '/id', detail }],
    };
  }
  if (waitsFor !== null && ref !== null)
    return { answer: 'waiting', id: line.id, at, timeUncertain, waitsFor, ref };
  return { answer: 'already-known', id: line.id, at, timeUncertain };
}

function answerStored(
  { index, line }: ParsedLine,
  became: Exclude<Stored, { known: true }>,
  { at, timeUncertain }: EffectiveTime,
): LineAnswer {
  if ('stored' in became) return { answer: 'recorded', id: line.id, at, timeUncertain };
  if ('waitsFor' in became) return { answer: 'waiting', id: line.id, at, timeUncertain, ...became };
  const detail = 'This line takes back a taking back. Scan the thing again instead.';
  return {
    answer: 'refused',
    id: line.id,
    index,
    kind: 'void-of-void',
    detail,
    fields: [{ pointer: '/voids', detail }],
  };
}

/** Splits the lines into first ones by id and repeats of them in the same batch. */
function splitRepeats(lines: readonly ParsedLine[]) {
  const first = new Map<string, ParsedLine>();
  const repeats: ParsedLine[] = [];
  for (const parsed of lines) {
    if (first.has(parsed.line.id)) repeats.push(parsed);
    else first.set(parsed.line.id, parsed);
  }
  return { first: [...first.values()], repeats };
}

interface Round {
  readonly batch: Batch;
  readonly clocks: Clocks;
  readonly refs: KnownRefs;
  readonly receivedAt: number;
  readonly answers: Answers;
}

/** Stores what is new; gives back the lines that somebody else stored at the same moment. */
async function storeNew(tx: Tx, lines: readonly ParsedLine[], round: Round): Promise<readonly ParsedLine[]> {
  if (lines.length === 0) return [];
  const { batch, clocks, refs, receivedAt, answers } = round;
  const movements = lines.map(({ line }) => line);
  const { times, kept } = await timeByClocks(tx, movements, { clocks, measures: batch.clocks, receivedAt });
  const timed = lines.flatMap(({ line }) => {
    const time = times.get(line.id);
    return time ? [{ line, ...time, receivedAt }] : [];
  });
  const [, became] = await Promise.all([kept, storeLines(tx, timed, refs)]);
  for (const parsed of lines) {
    const time = times.get(parsed.line.id);
    const what = became.get(parsed.line.id);
    if (time && what && !('known' in what)) answers[parsed.index] = answerStored(parsed, what, time);
  }
  return lines.filter(({ index }) => answers[index] === undefined);
}

async function answerRepeats(tx: Tx, repeats: readonly ParsedLine[], answers: Answers): Promise<void> {
  if (repeats.length === 0) return;
  const known = await readKnown(
    tx,
    repeats.map(({ line }) => line.id),
  );
  for (const parsed of repeats) {
    const before = known.get(parsed.line.id);
    if (before) answers[parsed.index] = answerKnown(parsed, before);
  }
}

/** A batch as it reached the service; `receivedAt` in UTC ms. */
export interface Arrived {
  readonly batch: Batch;
  readonly receivedAt: number;
}

function readLines({ batch, receivedAt }: Arrived) {
  const refused: Answers = new Array(batch.movements.length).fill(undefined);
  return { batch, receivedAt, refused, ...splitRepeats(parseLines(batch, refused)) };
}

/**
 * One answer for each line of the batch, in its order, once all that was accepted is durable. A batch that is still
 * gathering may be given before it is complete: the transaction is opened meanwhile.
 */
export async function recordLines(
  sql: postgres.Sql,
  arriving: Arrived | Promise<Arrived>,
): Promise<readonly LineAnswer[]> {
  const reading = Promise.resolve(arriving).then(readLines);
  const outcome = await decide<{ answers: Answers }, never>(sql, async (tx) => {
    const { batch, receivedAt, refused, first, repeats } = await reading;
    const answers = [...refused];
    if (first.length === 0) return { answers };
    const lines = first.map(({ line }) => line);
    // Everything that is asked of the database before it can be decided, in one round trip.
    const [clocks, refs] = await Promise.all([openClocks(tx, lines, receivedAt), lockRefs(tx, lines)]);
    const [fresh, known] = [
      first.filter(({ line }) => !refs.known.has(line.id)),
      first.filter(({ line }) => refs.known.has(line.id)),
    ];
    const raced = await storeNew(tx, fresh, { batch, clocks, refs, receivedAt, answers });
    await answerRepeats(tx, [...known, ...raced, ...repeats], answers);
    return { answers };
  });
  if ('refusal' in outcome) return outcome.refusal;
  return complete(outcome.answers);
}

function complete(answers: Answers): readonly LineAnswer[] {
  return answers.map((answer, index) => {
    if (answer !== undefined) return answer;
    // A repeat of a line that was itself refused is refused with it.
    const detail = 'The first line with this id in the same batch was refused.';
    return { answer: 'refused', id: null, index, kind: 'id-reused', detail, fields: [] };
  });
}
