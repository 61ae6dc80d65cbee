// Editing many things at once: the preview, doing it, and putting it back. Marks are lines of the ledger and go with the
// others there.
import { z } from 'zod';
import type { Fact } from '#domain/count-answers.ts';
import type { ThingId } from '#domain/ids.ts';
import { type EditLine, editLineSchema, type ThingSet } from '#domain/thing-edit.ts';
import { type Asked, ask } from './ask.ts';
import { voidOf, writeFacts } from './write.ts';

export interface ToEdit {
  readonly id: ThingId;
  readonly name: string;
  readonly version: number;
  readonly faulty: string | null;
}
/** What is done to all of them: facts that are set, and whether the mark "faulty" goes. */
export interface ManyEdit {
  readonly set: ThingSet | null;
  readonly clearsFaulty: boolean;
}
export interface DoneLine extends EditLine {
  /** The mark goes, or has gone. */
  readonly clearsFaulty: boolean;
}
export interface DoneEdit {
  readonly lines: readonly DoneLine[];
  readonly putBack: () => Promise<Asked<null>>;
}

const answerSchema = z.strictObject({ lines: z.array(editLineSchema) });
interface Group {
  readonly set: ThingSet;
  readonly things: readonly { readonly id: string; readonly version: number }[];
}
const send = (groups: readonly Group[], preview: boolean) =>
  ask('/api/thing-edits', answerSchema, { method: 'POST', body: { groups, preview } });

/** A thing of which nothing is set: it stays, but for its mark. */
const lineOf = ({ id, name, version }: ToEdit): EditLine =>
  editLineSchema.parse({
    id,
    name,
    version,
    does: 'stays',
    why: null,
    detail: null,
    changes: [],
    back: null,
  });

function withMarks(
  lines: readonly EditLine[],
  things: readonly ToEdit[],
  edit: ManyEdit,
): readonly DoneLine[] {
  const faulty = new Set(things.filter((thing) => thing.faulty !== null).map(({ id }) => id));
  return lines.map((line) => ({
    ...line,
    clearsFaulty: edit.clearsFaulty && faulty.has(line.id) && line.does !== 'left-out',
  }));
}

async function askLines(things: readonly ToEdit[], { set }: ManyEdit, preview: boolean) {
  if (set === null) return { ok: true, body: { lines: things.map(lineOf) }, version: null } as const;
  return send([{ set, things: things.map(({ id, version }) => ({ id, version })) }], preview);
}

/** What will happen, line by line; nothing is written. */
export async function previewEdit(
  things: readonly ToEdit[],
  edit: ManyEdit,
): Promise<Asked<readonly DoneLine[]>> {
  const answer = await askLines(things, edit, true);
  return answer.ok ? { ...answer, body: withMarks(answer.body.lines, things, edit) } : answer;
}

const clearingOf = ({ id }: EditLine): Fact => ({
  ...{ kind: 'mark', mark: 'faulty', on: false, thingId: id },
  ...{ note: null, stopId: null, round: null },
});

/** What puts the lines back, those with the same set in one group. */
function groupsBack(lines: readonly EditLine[]): readonly Group[] {
  const groups = new Map<
    string,
    { readonly set: ThingSet; readonly things: { id: string; version: number }[] }
  >();
  for (const { id, version, back } of lines) {
    if (back === null || version === null) continue;
    const key = JSON.stringify(back);
    const group = groups.get(key) ?? { set: back, things: [] };
    group.things.push({ id, version });
    groups.set(key, group);
  }
  return [...groups.values()];
}

// As many groups as the service takes in one request.
const GROUPS_MAX = 1_000;

async function putBackFacts(lines: readonly EditLine[]): Promise<Asked<null>> {
  const groups = groupsBack(lines);
  for (let at = 0; at < groups.length; at += GROUPS_MAX) {
    const answer = await send(groups.slice(at, at + GROUPS_MAX), false);
    if (!answer.ok) return answer;
  }
  return { ok: true, body: null, version: null };
}

// As many lines as one batch of the ledger holds.
const LINES_MAX = 5_000;

async function writeAll(facts: readonly Fact[]) {
  const written = [];
  for (let at = 0; at < facts.length; at += LINES_MAX) {
    const answer = await writeFacts(facts.slice(at, at + LINES_MAX));
    if (!answer.ok) return answer;
    written.push(...answer.body);
  }
  return { ok: true, body: written, version: null } as const;
}

/** Does it, and gives back what became of each line and the way back. */
export async function doEdit(things: readonly ToEdit[], edit: ManyEdit): Promise<Asked<DoneEdit>> {
  const answer = await askLines(things, edit, false);
  if (!answer.ok) return answer;
  const lines = withMarks(answer.body.lines, things, edit);
  const marks = await writeAll(lines.filter(({ clearsFaulty }) => clearsFaulty).map(clearingOf));
  if (!marks.ok)
    return { ...marks, sentence: `The facts were changed, the marks were not. ${marks.sentence}` };
  const putBack = async (): Promise<Asked<null>> => {
    const facts = await putBackFacts(lines);
    if (!facts.ok) return facts;
    const undone = await writeAll(marks.body.map(voidOf));
    return undone.ok ? { ok: true, body: null, version: null } : undone;
  };
  return { ok: true, body: { lines, putBack }, version: null };
}
