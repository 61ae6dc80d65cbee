// Brings in all good lines of a list in one transaction: what they need (classes, places, owners), the things, their codes
// and values, and the lines of the ledger that say where they are.
import { randomUUID } from 'node:crypto';
import type postgres from 'postgres';
import type { PlannedLine, PlanSums } from '#domain/csv/plan-lines.ts';
import { sumPlan } from '#domain/csv/plan-lines.ts';
import { fold, foldForSearch } from '#domain/fold.ts';
import { asPlaceId, type PlaceId, thingIdSchema } from '#domain/ids.ts';
import type { Outfit } from '#domain/place.ts';
import { decide, type Tx } from '../database/decide.ts';
import { noteChanges } from '../feed/note-changes.ts';
import { insertHomesOf, insertListedThings } from '../things/write-facts.ts';
import type { Choices } from './choices.ts';
import { findClasses } from './find-classes.ts';
import { findCases, findHomes, findOwners, insertPlaces } from './find-places.ts';
import { findVehicle } from './find-vehicle.ts';
import { makeThings, type NewThing } from './make-things.ts';
import { newId } from './new-id.ts';
import { planFile } from './plan-file.ts';
import { writeRefused } from './refused-file.ts';
import type { UnderstoodList } from './understand-file.ts';
import { writeArrivals } from './write-arrivals.ts';
import { writeCodes } from './write-codes.ts';

export const STEPS = ['reading', 'things', 'codes', 'places'] as const;
export type Progress = { readonly step: (typeof STEPS)[number]; readonly done: number; readonly of: number };

export type BroughtIn = {
  readonly sums: PlanSums;
  readonly classesMade: number;
  readonly placesMade: number;
  /** The refused lines as a file; null when there is none. */
  readonly refusedFile: string | null;
};

export type ListToBringIn = {
  readonly list: UnderstoodList;
  readonly choices: Choices;
  readonly outfit: Outfit;
  readonly fileName: string;
  /** UTC ms. */
  readonly now: number;
  readonly report: (progress: Progress) => void;
};

const THINGS_AT_ONCE = 1_000;

/** Two lists at once would each miss what the other brings in; codes must not be given out meanwhile. */
async function lockOthersOut(tx: Tx): Promise<void> {
  await tx`select pg_advisory_xact_lock(hashtextextended('bring in a list', 0))`;
  await tx`lock table code in share row exclusive mode`;
}

function todayIn(zone: string, now: number): string {
  return new Intl.DateTimeFormat('en-CA', { timeZone: zone, dateStyle: 'short' }).format(now);
}

async function writeThings(tx: Tx, things: readonly NewThing[], bring: ListToBringIn): Promise<void> {
  for (let at = 0; at < things.length; at += THINGS_AT_ONCE) {
    const some = things.slice(at, at + THINGS_AT_ONCE);
    await insertListedThings(tx, some);
    await writeContainers(tx, some);
    await writeValues(tx, some, bring);
    await noteChanges(
      tx,
      some.map(({ id }) => ({ kind: 'thing', ref: id })),
    );
    bring.report({ step: 'things', done: at + some.length, of: things.length });
  }
}

async function writeHomes(tx: Tx, things: readonly NewThing[]): Promise<void> {
  for (let at = 0; at < things.length; at += THINGS_AT_ONCE) {
    await insertHomesOf(tx, things.slice(at, at + THINGS_AT_ONCE));
  }
}

async function writeContainers(tx: Tx, things: readonly NewThing[]): Promise<void> {
  const rows = things
    .filter(({ facts }) => facts.container)
    .map(({ id, facts }) => ({
      id,
      kind: 'container',
      name: facts.name,
      thing_id: id,
      folded: foldForSearch([facts.name]),
    }));
  if (rows.length === 0) return;
  await tx`insert into place ${tx(rows)}`;
  await noteChanges(
    tx,
    rows.map(({ id }) => ({ kind: 'place', ref: id })),
  );
}

async function writeValues(tx: Tx, things: readonly NewThing[], bring: ListToBringIn): Promise<void> {
  const onDate = todayIn(bring.outfit.zone, bring.now);
  const rows = things.flatMap(({ id, replacement }) =>
    replacement === null
      ? []
      : [
          {
            id: newId(bring.now),
            thing_id: id,
            amount_minor: replacement.minor,
            currency: replacement.currency,
            on_date: onDate,
            source: `list ${bring.fileName}`,
          },
        ],
  );
  if (rows.length > 0) await tx`insert into replacement_value ${tx(rows)}`;
}

/** Cases of the list get their ids first, because other lines live in them. */
async function makeCases(tx: Tx, good: readonly PlannedLine[], now: number) {
  const rows = await findCases(tx, good);
  const idOfRow = new Map([...rows].map((row) => [row, thingIdSchema.parse(newId(now))]));
  const placeOfName = new Map<string, PlaceId>();
  for (const line of good) {
    const id = idOfRow.get(line.row);
    if (id !== undefined) placeOfName.set(fold(line.facts.name) || line.facts.name, asPlaceId(id));
  }
  return { idOfRow, placeOfName };
}

/**
 * Brings the list in. The lines are planned again inside, against the record as it is then: what somebody else has entered
 * meanwhile is known, and is never set back. Nothing of it stays when anything fails.
 */
export async function bringIn(sql: postgres.Sql, bring: ListToBringIn): Promise<BroughtIn> {
  const { list, choices, outfit, now } = bring;
  const outcome = await decide<BroughtIn, never>(sql, async (tx) => {
    await lockOthersOut(tx);
    const lines = await planFile(tx, list, choices, outfit.currency);
    bring.report({ step: 'reading', done: lines.length, of: lines.length });
    const good = lines.filter((line) => line.does !== 'refused' && line.does !== 'already-known');
    const cases = await makeCases(tx, good, now);
    const paths = good.map(({ facts }) => facts.home).filter((path) => path.length > 0);
    const arrives = good.some(({ facts }) => facts.home.length === 0) ? [[choices.arriveAt]] : [];
    const classes = await findClasses(tx, good, now);
    const owners = await findOwners(tx, good, now);
    const aboard = choices.vehicle === null ? null : await findVehicle(tx, choices.vehicle, now);
    const homes = await findHomes(tx, [...paths, ...arrives], {
      cases: cases.placeOfName,
      aboard,
      arriveAt: choices.arriveAt,
      now,
    });
    const things = makeThings(good, { cases: cases.idOfRow, classes, owners, homes, now });
    await writeThings(tx, things, bring);
    // A new compartment may lie in a case of the list, and a line's home in a compartment.
    await insertPlaces(tx, homes.missing);
    await writeHomes(tx, things);
    await writeCodes(tx, things, bring);
    const store = homes.idOf([choices.arriveAt]);
    await writeArrivals(tx, things, store, bring, randomUUID());
    return {
      sums: sumPlan(lines),
      classesMade: classes.made,
      placesMade: homes.missing.length + owners.missing.length,
      refusedFile: writeRefused(list, lines),
    };
  });
  if ('refusal' in outcome) return outcome.refusal;
  return outcome;
}
