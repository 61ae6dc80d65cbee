// What a line of the ledger names, and which of it is not known yet (law 3).
import type postgres from 'postgres';
import type { Movement } from '#domain/movement.ts';
import type { Tx } from '../database/decide.ts';
import { type Meaning, readMeanings } from './find-tied.ts';

export type WaitsFor = 'thing' | 'place' | 'stop' | 'movement' | 'review';
export interface Waits {
  readonly waitsFor: WaitsFor;
  readonly ref: string;
}

/**
 * What is there of what some lines name. `known`: those of the lines themselves that are stored or wait already.
 * `voidable`: lines of the ledger by id, with their kind and thing. `meanings`: what codes without a thing have named.
 */
export interface KnownRefs {
  readonly known: ReadonlySet<string>;
  readonly things: ReadonlySet<string>;
  readonly places: ReadonlySet<string>;
  readonly stops: ReadonlySet<string>;
  readonly voidable: ReadonlyMap<string, { readonly kind: string; readonly thingId: string | null }>;
  readonly removedDevices: ReadonlySet<string>;
  readonly meanings: readonly Meaning[];
  /** Of the things that were merged away: the ones that stay. */
  readonly mergedInto: ReadonlyMap<string, string>;
}

export const thingOf = (line: Movement): string | null => ('thingId' in line ? line.thingId : null);

/** The places a line names: where from, where to, the vehicle of a count. */
export function placesOf(line: Movement): readonly string[] {
  const ids = [
    'fromId' in line ? line.fromId : null,
    'toId' in line ? line.toId : null,
    line.kind === 'open' ? line.vehicleId : null,
  ];
  return ids.filter((id) => id !== null);
}

const idsOf = (rows: readonly { readonly id: string }[]): ReadonlySet<string> =>
  new Set(rows.map((row) => row.id));

function uniqueSorted(ids: readonly (string | null)[]): string[] {
  return [...new Set(ids.filter((id) => id !== null))].sort();
}

function readTargets(tx: postgres.ISql, lines: readonly Movement[]) {
  const targets = uniqueSorted(lines.map((line) => (line.kind === 'void' ? line.voids : null)));
  if (targets.length === 0) return [];
  return tx<{ id: string; kind: string; thingId: string | null }[]>`
    select id, kind, thing_id as "thingId" from movement where id = any(${targets}::uuid[])`;
}

/**
 * Locks the things that the lines touch, in the order of their ids, so that two batches over the same things follow one
 * another and never deadlock; then reads what else is known.
 */
export async function lockRefs(tx: Tx, lines: readonly Movement[]): Promise<KnownRefs> {
  const [targets, meanings] = await Promise.all([readTargets(tx, lines), readMeanings(tx, lines)]);
  const named = [...targets, ...meanings].map((row) => row.thingId);
  const things = uniqueSorted([...lines.map(thingOf), ...named]);
  const places = uniqueSorted(lines.flatMap(placesOf));
  const stops = uniqueSorted(lines.map((line) => line.stopId));
  const devices = uniqueSorted(lines.map((line) => line.deviceId));
  const ids = lines.map((line) => line.id);
  // One connection serves a transaction's statements in order: sent together, they cost one round trip.
  const [locked, others] = await Promise.all([
    lockThings(tx, things),
    tx<{ id: string; of: 'place' | 'stop' | 'removed' | 'known' }[]>`
      select id, 'place' as of from place where id = any(${places}::uuid[])
      union all select id, 'stop' from stop where id = any(${stops}::uuid[])
      union all select id, 'removed' from device where id = any(${devices}::uuid[]) and removed_at is not null
      union all select id, 'known' from movement where id = any(${ids}::uuid[])
      union all select id, 'known' from movement_waiting where id = any(${ids}::uuid[])`,
  ]);
  const mergedInto = new Map(
    locked.flatMap(({ id, mergedIntoId }) => (mergedIntoId === null ? [] : [[id, mergedIntoId] as const])),
  );
  const kept = uniqueSorted([...mergedInto.values()]);
  // Their positions are touched as well. Out of order, so two batches may deadlock here; then one of them runs again.
  if (kept.length > 0) await lockThings(tx, kept);
  const othersOf = (of: string) => idsOf(others.filter((row) => row.of === of));
  return {
    known: othersOf('known'),
    things: idsOf(locked),
    places: othersOf('place'),
    stops: othersOf('stop'),
    voidable: new Map(targets.map(({ id, kind, thingId }) => [id, { kind, thingId }])),
    removedDevices: othersOf('removed'),
    meanings,
    mergedInto,
  };
}

function lockThings(tx: Tx, ids: readonly string[]) {
  return tx<{ id: string; mergedIntoId: string | null }[]>`
    select id, merged_into_id as "mergedIntoId" from thing where id = any(${[...ids]}::uuid[])
    order by id for no key update`;
}

/** The first thing that a line has to wait for, in the order thing, place, stop, movement, review; null when none. */
export function findWaits(line: Movement, known: KnownRefs, arriving: ReadonlySet<string>): Waits | null {
  const thingId = thingOf(line);
  if (thingId !== null && !known.things.has(thingId)) return { waitsFor: 'thing', ref: thingId };
  const placeId = placesOf(line).find((id) => !known.places.has(id));
  if (placeId !== undefined) return { waitsFor: 'place', ref: placeId };
  if (line.stopId !== null && !known.stops.has(line.stopId)) return { waitsFor: 'stop', ref: line.stopId };
  if (line.kind === 'void' && !known.voidable.has(line.voids) && !arriving.has(line.voids)) {
    return { waitsFor: 'movement', ref: line.voids };
  }
  return known.removedDevices.has(line.deviceId) ? { waitsFor: 'review', ref: line.deviceId } : null;
}
