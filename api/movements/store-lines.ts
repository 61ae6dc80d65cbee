// The one write path of the ledger: lock the things, insert in the order of ids, recompute what was touched, say so in
// the feed. Whatever stores a line goes through here, in the caller's transaction.
import { meansTheKept } from '#domain/merge.ts';
import type { Movement } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';
import { tieLines } from './find-tied.ts';
import { readFollowing } from './follow-voids.ts';
import { findWaits, type KnownRefs, lockRefs, thingOf, type Waits } from './line-refs.ts';
import { insertLines, type TimedLine } from './line-rows.ts';
import { awaitArrivals, sayArrival } from './meet.ts';
import { readWaiting } from './read-waiting.ts';
import { recomputeTouched } from './stand.ts';

export type NewLine = Omit<TimedLine, 'tiedTo'>;
export type Stored =
  | { readonly stored: true }
  | Waits
  | { readonly refused: 'void-of-void' }
  | { readonly known: true };

interface Sorted {
  readonly tied: ReadonlyMap<string, string>;
  readonly ready: readonly TimedLine[];
  readonly waiting: readonly { readonly line: NewLine; readonly waits: Waits }[];
  readonly refused: readonly NewLine[];
}

/** A void can't be voided (law 2); whether the target is here already or arrives in the same batch. */
function voidsAVoid(line: Movement, known: KnownRefs, voidIds: ReadonlySet<string>): boolean {
  if (line.kind !== 'void') return false;
  return known.voidable.get(line.voids)?.kind === 'void' || voidIds.has(line.voids);
}

/** The things that lines are about where they do not say so: of an unknown code, and of an entry that was merged away. */
function findMeant(lines: readonly NewLine[], known: KnownRefs): ReadonlyMap<string, string> {
  const meant = new Map(tieLines(known.meanings, lines));
  for (const { line } of lines) {
    const kept = known.mergedInto.get(meant.get(line.id) ?? thingOf(line) ?? '');
    if (kept !== undefined && meansTheKept(line)) meant.set(line.id, kept);
  }
  return meant;
}

function sortOut(lines: readonly NewLine[], known: KnownRefs): Sorted {
  const tied = findMeant(lines, known);
  const voidIds = new Set(lines.flatMap(({ line }) => (line.kind === 'void' ? [line.id.toString()] : [])));
  const ready: TimedLine[] = [];
  const waiting: { line: NewLine; waits: Waits }[] = [];
  const refused: NewLine[] = [];
  const arriving = new Set<string>();
  // Voids last: whether their target arrives with them is known only then.
  const ordered = [...lines].sort((a, b) => Number(a.line.kind === 'void') - Number(b.line.kind === 'void'));
  for (const timed of ordered) {
    const waits = findWaits(timed.line, known, arriving);
    if (voidsAVoid(timed.line, known, voidIds)) refused.push(timed);
    else if (waits !== null) waiting.push({ line: timed, waits });
    else {
      ready.push({ ...timed, tiedTo: tied.get(timed.line.id) ?? null });
      arriving.add(timed.line.id);
    }
  }
  return { tied, ready, waiting, refused };
}

async function keepWaiting(tx: Tx, waiting: Sorted['waiting']): Promise<void> {
  if (waiting.length === 0) return;
  const rows = waiting.map(({ line: { line, at, timeUncertain, receivedAt }, waits }) => ({
    ...{ id: line.id, at, time_uncertain: timeUncertain, device_id: line.deviceId, device_no: line.deviceNo },
    ...{ received_at: receivedAt, waits_for: waits.waitsFor, ref: waits.ref, body: line },
  }));
  await tx`
    insert into movement_waiting (id, at, time_uncertain, device_id, device_no, received_at, waits_for, ref, body)
    select * from jsonb_to_recordset(${tx.json(rows)}) as line (id uuid, at bigint, time_uncertain boolean,
      device_id uuid, device_no int, received_at bigint, waits_for text, ref text, body jsonb)
    order by id
    on conflict (id) do update set waits_for = excluded.waits_for, ref = excluded.ref`;
}

/** The records of things that lines mark, for the feed. */
function markedBy(lines: readonly Movement[], tied: ReadonlyMap<string, string>) {
  const thingOfMark = (line: Movement) => (line.kind === 'mark' ? [tied.get(line.id) ?? line.thingId] : []);
  const marked = new Set<string>(lines.flatMap(thingOfMark));
  return [...marked].map((ref) => ({ kind: 'thing', ref }));
}

/** What of these can be stored now. What would have to wait is looked at once more when nobody is just arriving. */
async function sortOutSurely(tx: Tx, lines: readonly NewLine[], refs: KnownRefs): Promise<Sorted> {
  const sorted = sortOut(lines, refs);
  const isUntied = ({ line, tiedTo }: TimedLine) =>
    line.kind === 'move' && line.thingId === null && tiedTo === null;
  if (sorted.waiting.length === 0 && !sorted.ready.some(isUntied)) return sorted;
  await awaitArrivals(tx);
  return sortOut(lines, await lockRefs(tx, movementsOf(lines)));
}

const movementsOf = (lines: readonly NewLine[]) => lines.map(({ line }) => line);

/**
 * Stores lines that have their time: what it became of each, by id. Lines that wait for one of these are tried again
 * in the same transaction. `refs`: what the lines name, where the caller has locked and read it already.
 */
export async function storeLines(
  tx: Tx,
  lines: readonly NewLine[],
  refs?: KnownRefs,
): Promise<ReadonlyMap<string, Stored>> {
  const became = new Map<string, Stored>();
  if (lines.length === 0) return became;
  const known = refs ?? (await lockRefs(tx, movementsOf(lines)));
  const { tied, ready, waiting, refused } = await sortOutSurely(tx, lines, known);
  for (const { line } of refused) became.set(line.id, { refused: 'void-of-void' });
  for (const { line, waits } of waiting) became.set(line.line.id, waits);
  const arrived = ready.map(({ line }) => line);
  // Sent together and served in order. What is recomputed or told of a line that somebody else has just stored is true
  // all the same.
  const [fresh] = await Promise.all([
    ready.length === 0 ? new Set<string>() : insertLines(tx, ready),
    recomputeTouched(tx, arrived, tied),
    noteChanges(tx, markedBy(arrived, tied)),
    keepWaiting(tx, waiting),
    releaseWaiting(
      tx,
      'movement',
      arrived.map((line) => line.id),
    ),
  ]);
  await storeLines(tx, await readFollowing(tx, ready));
  for (const { line } of ready) became.set(line.id, fresh.has(line.id) ? { stored: true } : { known: true });
  return became;
}

/**
 * Tries the lines again that waited for these. A line may then wait for something else; a void that turns out to name
 * a void waits for a person's review, because a well-formed line is never dropped (law 3).
 */
export async function releaseWaiting(
  tx: Tx,
  waitsFor: Waits['waitsFor'],
  refs: readonly string[],
): Promise<void> {
  if (refs.length === 0) return;
  // One after the other on the transaction's connection, sent together.
  const [, rows] = await Promise.all([sayArrival(tx), readWaiting(tx, waitsFor, refs)]);
  const became = await storeLines(tx, rows);
  const done = [...became].filter(([, what]) => 'stored' in what || 'known' in what).map(([id]) => id);
  const barred = [...became].filter(([, what]) => 'refused' in what).map(([id]) => id);
  if (done.length > 0) await tx`delete from movement_waiting where id = any(${done}::uuid[])`;
  if (barred.length > 0) {
    await tx`update movement_waiting set waits_for = 'review', ref = 'void-of-void' where id = any(${barred}::uuid[])`;
  }
}
