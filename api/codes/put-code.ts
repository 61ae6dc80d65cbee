// Puts a code onto a thing or a place from a time on, or takes it off. The history stays; what a code once meant is
// never changed.
import { randomUUID } from 'node:crypto';
import type postgres from 'postgres';
import { gtin14Of } from '#domain/gtin.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { type CodeKind, readCode, type ScannedText } from '#domain/scanned-text.ts';
import { decide, type Tx } from '../database/decide.ts';
import { tieCode } from '../movements/tie-code.ts';
import { announceChange } from '../record/announce.ts';
import type { CodeRefusal } from './code-refusal.ts';
import { readCandidates } from './resolve-code.ts';
import { readTies, type Tie } from './store.ts';

export type Target = { readonly thingId: ThingId } | { readonly placeId: PlaceId };

export type PutCode = {
  readonly text: ScannedText;
  readonly target: Target;
  /** What the person says it is; null leaves it to the form of the code. */
  readonly kind: CodeKind | null;
  /** From when on it means this, UTC ms. */
  readonly since: number;
  /** The thing or place that the person saw it on, to take it from there. */
  readonly takeFrom: string | null;
};

export type PutDone = { readonly made: boolean; readonly ties: readonly Tie[] };

type Kept = { readonly code: string; readonly kind: CodeKind };

async function decideKind(tx: Tx, put: PutCode): Promise<Kept | { readonly refusal: CodeRefusal }> {
  const { text, kind } = put;
  // Somebody who says that it is another's code may keep any text.
  if (kind === 'foreign') return { code: text, kind };
  const read = readCode(text, { typed: kind === 'tag' });
  if (read.kind === 'bad-check-characters') {
    const candidates = await readCandidates(tx, read.candidates);
    return {
      refusal: { kind: 'bad-check-characters', code: text, candidates: candidates.map((one) => one.shown) },
    };
  }
  const gtin = kind === 'gtin' ? gtin14Of(text) : null;
  if (gtin !== null) return { code: gtin, kind: 'gtin' };
  if (kind !== null && kind !== read.kind) {
    const detail =
      kind === 'tag' ? 'is no tag of ours; leave the kind out' : 'is no product number; leave the kind out';
    return { refusal: { kind: 'contradiction', fields: [{ pointer: '/kind', detail }] } };
  }
  return { code: read.code, kind: read.kind };
}

/** The row that is tied: a vehicle or a container as the thing that it is, an entry merged away as the one that stayed. Null when there is none such. */
async function findTarget(tx: Tx, target: Target): Promise<Target | null> {
  if ('thingId' in target) {
    const [thing] = await tx<{ id: ThingId }[]>`
      select coalesce(merged_into_id, id) as id from thing where id = ${target.thingId}`;
    return thing === undefined ? null : { thingId: thing.id };
  }
  const [place] = await tx<{ id: PlaceId; thingId: ThingId | null }[]>`
    select id, thing_id as "thingId" from place where id = ${target.placeId}`;
  if (place === undefined) return null;
  return place.thingId === null ? { placeId: place.id } : { thingId: place.thingId };
}

const idOf = (target: Target): string => ('thingId' in target ? target.thingId : target.placeId);
const idOfTie = (tie: Tie): string => tie.thingId ?? tie.placeId ?? '';

async function announceTie(tx: Tx, tie: Tie): Promise<void> {
  if (tie.thingId !== null) await announceChange(tx, 'thing', tie.thingId);
  // The place that a container or a vehicle is shows its thing's codes.
  const places = await tx<{ id: string }[]>`select id from place where id = ${tie.thingId ?? tie.placeId}`;
  for (const place of places) await announceChange(tx, 'place', place.id);
}

async function endTie(tx: Tx, tie: Tie, until: number): Promise<void> {
  await tx`update code set until = ${until} where id = ${tie.id}`;
  await announceTie(tx, tie);
}

/** Two people who put one code somewhere at the same time wait for one another. */
async function lockCode(tx: Tx, code: string): Promise<void> {
  await tx`select pg_advisory_xact_lock(hashtextextended(${`code ${code}`}, 0))`;
}

function findClash(put: PutCode, kept: Kept, target: Target, current: readonly Tie[]): CodeRefusal | null {
  const elsewhere = kept.kind === 'gtin' ? undefined : current.find((tie) => idOfTie(tie) !== idOf(target));
  if (elsewhere === undefined) return null;
  if (put.takeFrom !== idOfTie(elsewhere))
    return { kind: 'code-in-use', code: kept.code, by: idOfTie(elsewhere) };
  if (put.since >= elsewhere.since) return null;
  const detail = 'lies before the time from which it meant something else; give a later time';
  return { kind: 'contradiction', fields: [{ pointer: '/since', detail }] };
}

/**
 * Puts the code onto its target. Refused, in this order: a tag with a mistake in it · a kind that it is not · a target that is
 * not known · a code that names something else, unless `takeFrom` names that · a time before that. On the target already:
 * nothing changes. A product number (GTIN) may stand on several things; other codes name one at a time, and what they
 * named before ends at `since`. Lines of the ledger that were read with the code before anybody knew it are tied now.
 */
export async function putCode(
  sql: postgres.Sql,
  put: PutCode,
): Promise<PutDone | { readonly refusal: CodeRefusal }> {
  return decide<PutDone, CodeRefusal>(sql, async (tx) => {
    const kept = await decideKind(tx, put);
    if ('refusal' in kept) return kept;
    await lockCode(tx, kept.code);
    const target = await findTarget(tx, put.target);
    if (target === null) {
      const pointer = 'thingId' in put.target ? '/thingId' : '/placeId';
      const detail = 'names nothing that is known here; enter it first';
      return { refusal: { kind: 'unknown-reference', fields: [{ pointer, detail }] } };
    }
    const current = (await readTies(tx, [kept.code])).filter((tie) => tie.until === null);
    const clash = findClash(put, kept, target, current);
    if (clash !== null) return { refusal: clash };
    if (current.some((tie) => idOfTie(tie) === idOf(target))) return { made: false, ties: current };
    if (kept.kind !== 'gtin') for (const tie of current) await endTie(tx, tie, put.since);
    return { made: true, ties: await writeTie(tx, kept, target, put.since) };
  });
}

async function writeTie(tx: Tx, kept: Kept, target: Target, since: number): Promise<readonly Tie[]> {
  const thingId = 'thingId' in target ? target.thingId : null;
  const placeId = 'placeId' in target ? target.placeId : null;
  await tx`
    insert into code ${tx({ id: randomUUID(), code: kept.code, kind: kept.kind, thing_id: thingId, place_id: placeId, since })}`;
  const ties = (await readTies(tx, [kept.code])).filter((tie) => tie.until === null);
  for (const tie of ties) if (idOfTie(tie) === idOf(target)) await announceTie(tx, tie);
  if (thingId !== null && kept.kind !== 'gtin') await tieCode(tx, kept.code, thingId);
  return ties;
}

/** Takes a code off the thing or place with this id, from `until` on. Refused when it is not on it. */
export async function takeOffCode(
  sql: postgres.Sql,
  off: { readonly text: ScannedText; readonly from: string; readonly until: number },
): Promise<PutDone | { readonly refusal: CodeRefusal }> {
  return decide<PutDone, CodeRefusal>(sql, async (tx) => {
    const { code } = readCode(off.text);
    const codes = [...new Set([off.text, code])].sort();
    for (const one of codes) await lockCode(tx, one);
    const ties = await readTies(tx, codes);
    const tie = ties.find((one) => one.until === null && idOfTie(one) === off.from);
    if (tie === undefined) return { refusal: { kind: 'code-not-in-use', code } };
    await endTie(tx, tie, Math.max(off.until, tie.since));
    return { made: true, ties: (await readTies(tx, [tie.code])).filter((one) => one.until === null) };
  });
}
