// What is still out there, across all stops, by the same rule as on a phone (#domain/still-out.ts), with what the desk
// needs to act on it.
import type postgres from 'postgres';
import { type PlaceId, type ThingId, thingIdSchema } from '#domain/ids.ts';
import { REASONS_AWAY } from '#domain/movement.ts';
import type { OutLine } from '#domain/out-line.ts';
import { type Overdue, overdueThings } from '#domain/overdue.ts';
import type { Party } from '#domain/party.ts';
import { type StillOutLine, stillOut } from '#domain/still-out.ts';
import type { Thing } from '#domain/thing.ts';
import { urgencyOf } from '#domain/urgency.ts';
import { firstKnownZone, workingDayBeganAt } from '#domain/working-day.ts';
import { type Facts, readFacts } from '../counts/read-facts.ts';
import { readOutfit } from '../outfit/store.ts';
import { readParties } from '../parties/store.ts';
import { readLatestAskings } from './askings.ts';
import { dateIn } from './date-in.ts';

/** Things that some line says are missing or put away, and that may still be: the rule decides. */
async function readSuspects(sql: postgres.ISql, today: string): Promise<readonly string[]> {
  const away = REASONS_AWAY.filter((reason) => reason !== 'consumed');
  const rows = await sql<{ id: string }[]>`
    select thing_id as id from movement m where m.kind = 'absence'
      and not exists (select from movement v where v.voids = m.id)
    union
    select p.thing_id from position p join movement m on m.id = p.movement_id where m.body->>'why' = any(${away}::text[])
    union
    select l.thing_id from stock_level l join place on place.id = l.place_id
    where l.number > 0 and place.kind in ('location', 'hotel', 'party', 'in-transit')
    union
    select id from thing where whose <> 'ours' and whose_until < ${today}::date`;
  return rows.map((row) => row.id);
}

function overdueLine({ thing, number, placeId, days }: Overdue, { classes }: Facts): StillOutLine {
  const kin = thing.classId === null ? undefined : classes.get(thing.classId);
  const { id: thingId, kind, name, whose, valueRank } = thing;
  return {
    ...{
      thingId,
      kind,
      name,
      whose,
      number,
      placeId,
      days,
      valueRank,
      why: 'lend',
      present: null,
      outThere: [],
    },
    ...{ lineId: null, since: null, spot: null, personId: null, stopId: null, note: null },
    urgency: urgencyOf(thing, kin),
    forgotten: kin?.forgotten ?? 0,
  };
}

type Said = Pick<OutLine, 'asked'> & { readonly seesValues: boolean; readonly why: OutLine['why'] };

function outLine(line: StillOutLine, thing: Thing, { asked, seesValues, why }: Said): OutLine {
  const { maker, model, serial, ownerPlaceId, whose, whoseUntil, replacement } = thing;
  const home = thing.homes.find((known) => known.way === 'driving') ?? thing.homes[0];
  const value =
    seesValues && replacement !== null
      ? { minor: replacement.minor * line.number, currency: replacement.currency }
      : null;
  const dueOn = whose === 'ours' ? null : whoseUntil;
  return {
    ...line,
    ...{ why, maker, model, serial, ownerPlaceId, dueOn, value, asked },
    homeId: home?.placeId ?? null,
  };
}

export interface StillOutAnswer {
  readonly seesValues: boolean;
  readonly lines: readonly OutLine[];
  /** Those among the places of the lines that are people or companies, to be asked. */
  readonly parties: readonly Party[];
}

/** The list, the most urgent first, and behind it what is only overdue. `seesValues`: whether this reader sees money. */
export function readStillOut(sql: postgres.Sql, now: number, seesValues: boolean): Promise<StillOutAnswer> {
  // One moment of the ledger, whoever writes meanwhile.
  return sql.begin('isolation level repeatable read read only', (tx) => readIn(tx, now, seesValues));
}

async function readIn(sql: postgres.ISql, now: number, seesValues: boolean): Promise<StillOutAnswer> {
  const outfit = await readOutfit(sql);
  const zone = firstKnownZone([outfit?.zone ?? 'UTC']);
  const today = dateIn(zone, now);
  const suspects = await readSuspects(sql, today);
  // All their lines: what says that something is missing may be old.
  const facts = await readFacts(sql, { since: 0, things: suspects });
  const dayBeganAt = workingDayBeganAt(now, zone, outfit?.dayTurnsMinutes ?? 300);
  const lines = stillOut({ ...facts, now, dayBeganAt });
  const asked = await readLatestAskings(sql, suspects);
  const listed = new Set(lines.map((line) => line.thingId));
  const due = overdueThings(facts.things.values(), facts.book, today).filter(
    ({ thing }) => !listed.has(thing.id),
  );
  const said = (thingId: ThingId, why: OutLine['why']) => ({
    asked: asked.get(thingId) ?? null,
    seesValues,
    why,
  });
  const out = lines.flatMap((line) => {
    const thing = facts.things.get(thingIdSchema.parse(line.thingId));
    return thing === undefined ? [] : [outLine(line, thing, said(thing.id, line.why))];
  });
  const overdue = due.map((one) =>
    outLine(overdueLine(one, facts), one.thing, said(one.thing.id, 'overdue')),
  );
  const all = [...out, ...overdue];
  return { seesValues, lines: all, parties: await readParties(sql, placesOf(all)) };
}

function placesOf(lines: readonly OutLine[]): readonly PlaceId[] {
  const ids = lines.flatMap((line) => [line.placeId, line.ownerPlaceId]);
  return [...new Set(ids.filter((id) => id !== null))];
}
